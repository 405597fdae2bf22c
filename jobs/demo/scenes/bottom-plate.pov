#version 3.7;
// photo rewind-button WHAT=0 : The bottom plate: the rewind button, pressed, stays down in its hole.
// photo rewind-button-free WHAT=1 : The bottom plate: the rewind button stands up at rest.
#ifndef (WHAT) #declare WHAT = 0; #end
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.02,0.02,0.024>, <0.42,0.41,0.40>)
Cam(<10, 66, -62>, <2, 0, 1>, 32, <-6, 0, -3>, 50)
Lamp(<-110, 90, 20>, 0, 22, <1.2,1.08,0.92>, 4)
Lamp(<120, 80, -60>, 0, 60, <0.22,0.25,0.30>, 3)
Card(<-20, 120, 120>, 0, 130, 40, <0.9,0.9,0.9>) Card(<140, 40, 20>, 0, 40, 120, <0.6,0.62,0.66>)
plane { y, -46.6 texture { T_Felt } }
#declare i = 0;
difference { object { Stadium(130, 30, 7, 1.6, 0) } cylinder { <-10, 3, -3>, <-10, 9, -3>, 2.7 } cone { <-10, 6.4, -3>, 2.6, <-10, 7.1, -3>, 3.3 } cylinder { <17, 0, 2>, <17, 9, 2>, 6.2 } 
  translate -y*7 texture { T_SteelB pigment { P_Chrome } scale 0.8 } }
object { Stadium(129, 29.4, 40, 0, 0) translate -y*46.6 Leather(0.03, 1.5) }
cylinder { <-10, -4, -3>, <-10, (WHAT = 0 ? -0.75 : 1.5), -3>, 2.45 texture { T_ChromeT } } torus { 2.2, 0.25 translate <-10, (WHAT = 0 ? -0.78 : 1.47), -3> texture { T_ChromeP } }
torus { 3.5, 0.22 translate <-10, 0, -3> texture { T_ChromeP } }
object { RingText(array[1] { "R" }, 1, 5.6, 3.0, 0, 0, T_Black) translate <-10, 0.03, -3> }
difference { cylinder { <17, -3, 2>, <17, 0.3, 2>, 6.1 } cylinder { <17, -4, 2>, <17, 1, 2>, 3.1 } texture { T_SteelT } }
union { #declare i = 0; #while (i < 6) torus { 3.0, 0.22 translate <17, -0.3 - i*0.5, 2> } #declare i = i + 1; #end texture { T_Steel } } cylinder { <17, -4, 2>, <17, -3.4, 2>, 3.1 texture { T_Black } }
#declare k = -1; #while (k < 2) object { ScrewHead(2.3, 0.5, 0.3, T_ChromeT) rotate y*(k*36 + 10) translate <k*50, 0, k> } #declare k = k + 2; #end
object { ScrewHead(1.6, 0.4, 0.25, T_ChromeT) rotate y*70 translate <-30, 0, 7> }
union { #declare i = 0; #while (i < 60) #declare P = <(rand(RS) - 0.5)*80, -0.03, (rand(RS) - 0.5)*22>; 
    cylinder { P, P + vrotate(x*(1 + rand(RS)*8), y*rand(RS)*360), 0.04 } #declare i = i + 1; #end
  pigment { rgb 0.55 } finish { F_Metal } }
object { Driver(1.6, 100, T_Brass) rotate y*40 translate <34, -46.6, -34> }
Dust(<0, 0, 0>, 40, 12, 60, 0.06)
Mark("button", <-10, 0, -3>) 
