#version 3.7;
// photo slow-speed-train : The slow-speed train: the small gears, the star wheel and the rocking pallet that time the long speeds.
#include "bench.inc"
#include "parts.inc"
#include "deck.inc"
Room(<0.02,0.02,0.022>, <0.40,0.39,0.38>) Stops(0.2)
Cam(<-4, 33, -27>, <4.6, 0, -0.6>, 36, <7, 1, -3>, 55)
Lamp(<-60, 90, 50>, 0, 22, <1.25,1.12,0.95>, 4)
Lamp(<110, 70, -60>, 0, 46, <0.20,0.23,0.28>, 3)
Card(<10, 100, 110>, 0, 110, 30, <1.5,1.5,1.45>) Card(<-150, 50, 0>, 0, 40, 120, <0.7,0.72,0.75>)
box { <-80, -8, -50>, <80, -2.4, 50> texture { T_Felt } }
// back plate, pillars, upper bridge
difference { object { Link(<-15, 0, -2>, <15, 0, 1>, 11, 1.6, T_BrassT) } cylinder { <-11, -1, 8>, <-11, 2, 8>, 1.1 texture { T_Black } } translate y*-2.4 }
object { Gear(54, 6.6, 0.8, 4, T_BrassT) translate <-13, 0, -1> } object { Pinion(10, 1.5, 2.4, T_SteelT) translate <-13, -0.6, -1> } object { ScrewHead(1.2, 0.3, 0.1, T_SteelT) rotate y*20 translate <-13, 0.8, -1> }
object { Gear(46, 5.2, 0.7, 4, T_BrassT) rotate y*3 translate <-5.0, 1.3, 2.2> } object { Pinion(10, 1.4, 2.6, T_SteelT) translate <-5.0, -0.6, 2.2> } 
object { Gear(40, 4.2, 0.6, 0, T_SteelT) translate <1.6, 0.0, -0.6> } object { Pinion(9, 1.2, 2.6, T_SteelT) translate <1.6, -0.6, -0.6> }
// star wheel with its raked points
#declare A = array[4] { -0.5, -0.30, 0.12, 0.30 } #declare R = array[4] { 2.5, 2.55, 3.7, 2.6 }
union { object { ToothMesh(15, A, R, 4, 1.0, 0.7, 0.05, T_SteelT) } difference { cylinder { y*0.02, y*0.68, 2.4 } #declare i = 0; #while (i < 4) cylinder { <1.5, -1, 0>, <1.5, 2, 0>, 0.55 rotate y*i*90 } #declare i = i + 1; #end texture { T_SteelT } }
  cylinder { -y*0.6, y*1.5, 0.5 texture { T_SteelT } } rotate y*8 translate <7.6, 1.0, -2.4> }
// pallet: a rocking fork with two pins and a weight
object { Link(<11.6, 0, -6.2>, <12.2, 0, 1.2>, 0.7, 0.7, T_SteelB) translate y*1.0 } object { Link(<11.9, 0, -2.4>, <16.6, 0, -1.4>, 1.0, 0.7, T_SteelB) translate y*1.0 }
cylinder { <16.8, 0.2, -1.4>, <16.8, 2.6, -1.4>, 2.5 texture { T_BrassT } } cylinder { <11.4, 0.6, -5.4>, <11.4, 2.0, -5.4>, 0.35 texture { T_SteelT } } cylinder { <11.9, 0.6, 0.5>, <11.9, 2.0, 0.5>, 0.35 texture { T_SteelT } } object { ScrewHead(0.9, 0.5, 0.15, T_Blued) rotate y*50 translate <12, 1.7, -2.4> }
object { Link(<-16, 0, 6>, <6.6, 0, 6.8>, 1.8, 0.8, T_SteelB) translate y*2.2 } object { Link(<-5.0, 0, 2.2>, <-5.4, 0, 6.2>, 1.2, 0.8, T_SteelB) translate y*2.2 }
object { ScrewHead(1.5, 0.8, 0.1, T_Blued) rotate y*-30 translate <-16, 3.0, 6> } object { ScrewHead(1.5, 0.8, 0.1, T_Blued) rotate y*65 translate <6.6, 3.0, 6.8> } cylinder { <-5, 3, 2.2>, <-5, 3.15, 2.2>, 0.6 texture { T_SteelT } }
object { ScrewHead(1.5, 0.7, 0, T_SteelT) rotate y*10 translate <-20, -0.8, -6> } object { ScrewHead(1.5, 0.7, 0, T_SteelT) rotate y*100 translate <19, -0.8, 6.6> }
Grease(<0, 0.7, 1.4>, 1.6, 0.7, 12) Grease(<8.6, 1.6, -4>, 1.2, 0.6, 10) Grease(<-9, 0.9, -3>, 1.0, 0.5, 8)
object { Tweezers(90) rotate y*-32 scale 0.5 translate <17.5, -2.4, -10> }
Dust(<0, -0.75, 0>, 18, 10, 70, 0.05) Fibres(<0, -2.3, -8>, 30, 8, 20, 4, 0.03, <0.5,0.5,0.45>)
Mark("star", <7.6, 1.6, -2.4>) Mark("anchor", <12, 1.6, -2.4>)
