#version 3.7;
// photo light-seal-crumbs WHAT=0 : The back open: the foam in the door channel has gone to crumbs and tar.
// photo curtain-pinhole WHAT=1 : The shutter curtain with a lamp before the lens: two points of light come through the cloth.
// photo curtain-slit WHAT=2 : The shutter stopped half-way, a lamp behind it: the slit narrows towards one end.
#ifndef (WHAT) #declare WHAT = 0; #end
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#if (WHAT = 0)
  Room(<0.02,0.02,0.024>, <0.40,0.39,0.38>) Stops(0.2)
  Cam(<-20, 44, -60>, <-1, 0, -12>, 30, <-2, 0, -19>, 55)
  Lamp(<-110, 90, -10>, 0, 20, <1.2,1.08,0.92>, 4)
  Card(<30, 120, 110>, 0, 120, 40, <1.3,1.3,1.3>) 
#else                                            // both curtain pictures, from above the gate
  Room(<0.006,0.006,0.007>, <0.10,0.10,0.105>) Stops(-0.6)
  Cam(<16, 74, -44>, <0, 0, 0>, 34, <-6, -6, 3>, 50)
  Lamp(<-110, 90, 60>, 0, 30, <0.30,0.27,0.24>, 4)
#end
Lamp(<120, 80, -80>, 0, 60, <0.15,0.17,0.20>, 3)
// body back seen from above: gate, polished rails, channels
difference { box { <-80, -12, -26>, <80, 0, 24> } box { <-18, -20, -12>, <18, 1, 12> } box { <-90, -2.4, -22>, <90, 1, -18.6> } box { <-90, -2.4, 17.6>, <90, 1, 21> } box { <-62, -9, -13>, <-34, 1, 13> } box { <34, -9, -13>, <62, 1, 13> }
  texture { T_Black } }
#declare k = -1; #while (k < 2) object { Round_Box_Union(<-32, -0.5, k*13.6 - 0.8>, <32, 0.9, k*13.6 + 0.8>, 0.3) texture { T_ChromeP } } object { Round_Box_Union(<-32, -0.5, k*16.2 - 0.5>, <32, 1.2, k*16.2 + 0.5>, 0.3) texture { T_ChromeP } } #declare k = k + 2; #end
box { <-80, -12, -29>, <80, -0.6, -26.2> texture { T_Chrome } } 
// cloth curtain deep in the gate
box { <-19, -6.4, -13>, <19, -6, 13> texture { pigment { rgb 0.03 } normal { average normal_map { [1 gradient x 0.4 sine_wave scale 0.24] [1 gradient z 0.4 sine_wave scale 0.24] [0.6 bumps 0.3 scale 5] } } finish { diffuse 0.75 specular 0.1 roughness 0.1 } } }
cylinder { <11, -6, -13>, <11, -6, 13>, 0.35 texture { T_Steel } }
// sprocket and spool
union { object { Knurl(8, 6.2, 1.1, 2, T_Steel) translate y*-1 } cylinder { -y*12, y*12, 5 texture { T_SteelT } } object { Knurl(8, 6.2, 1.1, 2, T_Steel) translate y*9 } rotate x*90 translate <26, -3.2, -5> }
cylinder { <46, -3, -13>, <46, -3, 13>, 7 texture { T_Black } } 
#if (WHAT = 0)
  // what is left of the foam: crumbs in the channel, a tarry line, a few strays on the rails
  #declare T_Foam = texture { pigment { granite color_map { [0 rgb 0.012] [0.7 rgb <0.03,0.026,0.022>] [1 rgb <0.10,0.085,0.07>] } scale 1.4 } normal { granite 0.9 scale 0.7 } finish { diffuse 0.8 specular 0.10 roughness 0.08 } }
  blob { threshold 0.5 #declare i = 0; #while (i < 420) #declare X = (rand(RS) - 0.5)*110; #declare g = max(0.1, min(1, 0.55 + 0.6*sin(X*0.21) + 0.4*sin(X*0.63 + 1)));
      sphere { <X, -1.9 + rand(RS)*1.5*g, -20.3 + (rand(RS) - 0.5)*2.6>, 0.5 + 0.7*rand(RS)*g, 1 } #declare i = i + 1; #end texture { T_Foam } }
  union { #declare i = 0; #while (i < 240) #declare r = 0.10 + pow(rand(RS), 3)*0.55; sphere { 0, r scale <1, 0.7, 1.3> rotate y*360*rand(RS) translate <(rand(RS) - 0.5)*80, r*0.5, -18.4 + pow(rand(RS), 2)*7 - 3.2*(rand(RS) < 0.35 ? 1 : 0)> } #declare i = i + 1; #end texture { T_Foam } }
  object { Tweezers(90) rotate z*16 rotate y*-48 translate <9, 0.2, -20> }
  Mark("channel", <-6, -0.6, -20>) Mark("crumbs", <4, 0.2, -16.6>)
#end
#if (WHAT = 1)
  union { sphere { <-7.2, -5.95, 3.1>, 0.22 } sphere { <-5.2, -5.95, 4.9>, 0.13 } pigment { rgb 1 } finish { emission LIT*<16,14.5,12> diffuse 0 } no_shadow }
  #if (FOG < 0) light_source { <-7.2, -5.2, 3.1> rgb <0.9,0.8,0.65> fade_distance 1.2 fade_power 2 } #end
  Mark("pinholes", <-6.6, -6, 3.7>)
#end
#if (WHAT = 2)   // the slit, its two edges bright on the lamp side; one curtain a little above the other
  prism { linear_sweep linear_spline -5.99, -5.98, 5, <-1.9, -13>, <-1.4, -13>, <0, 13>, <-2.4, 13>, <-1.9, -13> pigment { rgb 1 } finish { emission LIT*<1.7,1.55,1.35> diffuse 0 } no_shadow }
  cylinder { <-1.9, -5.9, -13>, <-2.4, -5.9, 13>, 0.16 texture { T_Steel } } cylinder { <-1.4, -5.9, -13>, <0, -5.9, 13>, 0.16 texture { T_Steel } }
  Mark("slit", <-1.7, -6, -8>)
#end
Dust(<0, 0.02, 0>, 60, 20, 120, 0.05)
