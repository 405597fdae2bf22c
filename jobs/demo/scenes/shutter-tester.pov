#version 3.7;
// photo shutter-tester : The camera on our tester, its lens off: a lamp before it, a small sensor behind.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "bodies2.inc"
Room(<0.02,0.02,0.024>, <0.30,0.29,0.29>) Stops(0.2)
Cam(<-120, 165, -310>, <2, 58, 0>, 40, <-4, 76, -40>, 38)
Lamp(<-60, 330, -120>, 0, 70, <0.75,0.70,0.62>, 4)
Lamp(<330, 230, -140>, 0, 120, <0.16,0.18,0.22>, 3)
Card(<-260, 100, -160>, <0,50,0>, 100, 120, <0.5,0.5,0.5>) Card(<60, 230, -460>, <0,40,0>, 110, 110, <1.0,1.05,1.1>)
BenchTop(T_Wood) BenchBack(230)
object { Round_Box_Union(<-130, 0, -34>, <130, 9, 34>, 2) texture { T_SteelB } } box { <-132, -1, -8>, <132, 10.2, -4> texture { T_Black } }
#macro Post(X) cylinder { <X, 9, 0>, <X, 13, 0>, 12 texture { T_SteelT } } cylinder { <X, 9, 0>, <X, 46, 0>, 4.5 texture { T_ChromeP } } object { Knurl(30, 7, 0.5, 8, T_Black) rotate x*-90 translate <X, 34, -6> } #end
// the camera on its stand, lens off, facing the lamp
object { Round_Box_Union(<-26, 9, -52>, <26, 39, 52>, 2) texture { T_Black } } object { Round_Box_Union(<-30, 37, -78>, <30, 40, 78>, 1.2) texture { T_Rubber } }
#declare Bare = 1;
object { Reflex(T_Gloss, 0.02, 0) rotate y*90 translate <0, 40, 0> }
// lamp house on the left, its frosted window alight
Post(-106) union { cylinder { 0, x*34, 24 } cylinder { x*34, x*44, 27 } torus { 26.5, 0.6 rotate z*90 translate x*44 } #declare i = 0; #while (i < 6) torus { 24, 1.2 rotate z*90 translate x*(4 + i*5) } #declare i = i + 1; #end texture { T_Black } translate <-132, 74, 0> }
cylinder { <-88.2, 74, 0>, <-87.6, 74, 0>, 24 pigment { cylindrical rotate z*90 scale 26 translate y*74 color_map { [0 rgb 0.4] [0.5 rgb 0.9] [1 rgb 1] } } finish { emission LIT*<3.4,3.0,2.3> diffuse 0 } no_shadow }
#if (FOG < 0) light_source { <-86, 74, 0> rgb <4.5,3.8,2.8> area_light y*34, z*34, 3, 3 adaptive 0 jitter fade_distance 50 fade_power 2 spotlight point_at <100, 74, 0> radius 60 falloff 85 } #end
// sensor in a small tube on the right, wire away
Post(104) union { cylinder { -x*22, x*10, 7 } object { Knurl(30, 8.4, 0.5, 8, T_Black) rotate z*90 translate x*4 } torus { 6.4, 0.7 rotate z*90 translate -x*22 } texture { T_Black } translate <104, 74, 0> } object { Round_Box_Union(<98, 44, -7>, <110, 68, 7>, 1) texture { T_Black } }
#declare W = array[14]; #declare i = 0; #while (i < 14) #declare W[i] = <114 + 22*sin(i/13*pi*0.55), 74 - pow(i/13, 1.6)*72, -6*i/13 - 16*pow(i/13, 3)>; #declare i = i + 1; #end
Wire(W, 14, 1.5, texture { T_Red })
Dust(<0,0.1,-80>, 170, 60, 90, 0.14)
Mark("shutter", <-22, 74, 0>) Mark("lamp", <-92, 80, -20>) Mark("sensor", <92, 78, -6>)
