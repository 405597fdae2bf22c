#version 3.7;
// photo loose-parts-bag WHAT=0 : The small parts that came loose in the parcel, kept together in a bag with the job.
// photo two-screws-bag WHAT=1 : The two small screws that came in a bag of their own.
#ifndef (WHAT) #declare WHAT = 0; #end
#declare NORAD = 1;
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "parcel.inc"
Room(<0.03,0.03,0.034>, <0.40,0.39,0.38>) Stops(0.1)
Cam(<14, 128, -84>, <1, 0, 1>, (WHAT = 0 ? 33 : 29), <0, 3, -4>, 45)
Lamp(<-110, 170, 60>, 0, 34, <1.2,1.08,0.92>, 4)
Lamp(<150, 120, -90>, 0, 60, <0.22,0.25,0.30>, 3)
Card(<20, 200, 190>, 0, 150, 30, <1.8,1.8,1.8>) Card(<-160, 120, -40>, 0, 30, 150, <1.3,1.35,1.4>)
BenchTop(T_Felt)
// what is in it: seven parts, or two screws
#macro Put(X, Z, A) rotate y*A translate <X, 0.5, Z> #end
#if (WHAT = 0)
object { Gear(36, 7.5, 1.4, 4, T_BrassT) Put(-13, -3, 8) } object { Gear(24, 4.6, 1.2, 0, T_SteelT) Put(-1, -10, 3) }
object { Spring(1.6, 0.3, 12, 17, T_Steel) translate y*2 Put(-6, 8, 24) }
object { Link(<0,0,0>, <12,0,3>, 2.0, 1.0, T_SteelB) Put(6, -9, 18) } 
#declare i = 0; #while (i < 2) object { Screw(1.5, 1.0, 3 + mod(i*7, 5), T_SteelT) rotate z*94 translate y*1.4 Put(13 - i*31, 9 + i*5, 97 + i*50) } #declare i = i + 1; #end
object { Screw(2.3, 1.3, 4, T_BrassT) rotate z*95 translate y*2.2 Put(16, -2, 60) }
#else
object { Screw(1.9, 1.1, 5, T_SteelT) rotate z*94 translate y*1.7 Put(-5, 1, 30) } object { Screw(1.9, 1.1, 5, T_SteelT) rotate z*94 translate y*1.7 Put(4, -5, 115) }
#end
// the bag: a creased clear sheet lying over it all
height_field { function 420, 520 { 0.10 + 0.50*min(1, 9*min(min(x, 1 - x), min(y, 1 - y)))*(0.55 + 0.45*f_noise3d(x*4, y*4, 1)) + 0.055*abs(f_noise3d(x*9 + y*6, y*5 - x*4, 4) - 0.5)*2 + 0.035*f_noise3d(x*24, y*9, 7) } smooth
  translate <-0.5, 0, -0.5> scale <58, 7.5, 74> rotate y*5 translate <0, 0.1, 4>
  pigment { rgb <0.95,0.97,1> transmit 0.94 } finish { diffuse 0.08 specular 1.1 roughness 0.006 reflection { 0.03, 0.5 falloff 3 } } no_shadow }
union { 
  object { Round_Box_Union(<-28.6, 0.4, 30>, <28.6, 1.6, 31.4>, 0.5) } object { Round_Box_Union(<-28.6, 0.4, 33>, <28.6, 1.6, 34.4>, 0.5) } pigment { rgb <0.85,0.9,0.95> transmit 0.55 } finish { diffuse 0.4 specular 0.9 roughness 0.01 } rotate y*5 translate z*4 no_shadow }
union { box { <-28.4, 1.7, 31.9>, <28.4, 1.75, 32.5> pigment { rgb <0.5,0.04,0.03> transmit 0.2 } finish { diffuse 0.7 } rotate y*5 translate z*4 }
  box { <-17, 4.9, 18>, <17, 5.0, 28> texture { T_Paper } rotate y*6 rotate x*-4 translate <0, -1, 3> } no_shadow }
object { Driver(2, 90, T_Brass) rotate y*-62 translate <40, 0, -20> }
Fibres(<0, 0.3, 0>, 80, 50, 40, 7, 0.05, <0.5,0.5,0.45>)
#if (WHAT = 0) Mark("parts", <-8, 2, -4>) #else Mark("screws", <-0.5, 1.5, -2>) #end Mark("label", <1, 4, 26>)
