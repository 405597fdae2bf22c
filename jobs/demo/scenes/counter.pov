#version 3.7;
// photo counter-misassembled WHAT=0 : The frame counter near 22: its pawl is one tooth out and its spring hangs beside its post.
// photo counter-set WHAT=1 : The frame counter put together again, pawl and spring where they belong.
#ifndef (WHAT) #declare WHAT = 0; #end
#include "bench.inc"
#include "parts.inc"
#include "deck.inc"
Room(<0.02,0.02,0.022>, <0.40,0.39,0.38>)
Cam(<4, 40, -30>, <2, 0, 0.8>, 40, <0, 1, -2>, 55)
Lamp(<60, 90, 50>, 0, 22, <1.25,1.12,0.95>, 4)
Lamp(<-120, 70, -60>, 0, 46, <0.20,0.23,0.28>, 3)
Card(<10, 100, 110>, 0, 110, 30, <1.5,1.5,1.45>) Card(<150, 50, 0>, 0, 40, 120, <0.6,0.62,0.65>)
box { <-70, -6, -40>, <70, -1.6, 40> texture { T_Deck } }
box { <-70, -6, 17>, <70, 0.8, 21> texture { T_Chrome } }
// counter disc: fine teeth below, black dial with white figures above
#declare Turn = (WHAT = 0 ? 155 : 152);
union {
  ToothRing(72, 10, 7, 1.1, T_BrassT) cylinder { 0, y*1.0, 9.6 texture { T_BrassT } } 
  cylinder { y*1.0, y*1.5, 8.6 texture { T_Black } } torus { 8.5, 0.1 translate y*1.5 texture { T_ChromeP } }
  rotate y*Turn }
object { RingText(array[10] { "S", "0", "4", "8", "12", "16", "20", "24", "28", "32" }, 10, 6.3, 1.75, 0, 320, T_White) rotate y*Turn translate y*1.53 }
#declare i = 0; #while (i < 40) box { <-0.06, 1.5, -8.3>, <0.06, 1.54, (mod(i, 4) ? -7.8 : -7.5)> texture { T_White } rotate y*(Turn + i*8) } #declare i = i + 1; #end
object { ScrewHead(2.2, 0.8, 0.25, T_SteelT) rotate y*63 translate y*1.5 }
// pawl: its tip should lie in the tooth by the index; when wrong it rides on the next
#declare Off = (WHAT = 0 ? 7 : 0);
union {
  object { Link(<0, 0, 0>, <-8.2, 0, 1.6>, 1.3, 0.9, T_SteelB) } object { Link(<-8.2, 0, 1.6>, <-10.1, 0, 3.4>, 0.55, 0.9, T_SteelB) }
  cylinder { <-3.4, 0.6, 0.9>, <-3.4, 2.2, 0.9>, 0.4 texture { T_SteelT } }
  rotate -y*Off translate <15.8, 0.1, -7.8> }
object { ScrewHead(1.6, 0.7, 0.2, T_Blued) rotate y*20 translate <15.8, 1.0, -7.8> }
cylinder { <19.5, -2, 3.4>, <19.5, 2.4, 3.4>, 0.55 texture { T_SteelT } } cylinder { <16.2, -2, 5.4>, <16.2, 2.4, 5.4>, 0.55 texture { T_SteelT } }
#if (WHAT = 0)
  object { Spring(0.75, 0.15, 9, 9.4, T_Steel) rotate y*62 rotate z*6 translate <12.4, 1.7, -7.4> scale <1,1,-1> translate z*-13.4 }
#else
  object { Spring(0.75, 0.15, 10, 11.6, T_Steel) rotate y*-57 translate <12.6, 1.5, -6.6> }
#end
// fixed index and a plate
object { Link(<-2, 0, -16>, <0, 0, -11.6>, 0.9, 1.6, T_ChromeP) } object { ScrewHead(1.4, 0.6, 0.2, T_SteelT) rotate y*-30 translate <-2, 1.6, -16> }
object { Link(<-22, 0, -4>, <-17, 0, 9>, 3.2, 1.0, T_BrassT) translate y*-1.6 } object { ScrewHead(1.6, 0.7, 0, T_SteelT) rotate y*45 translate <-22, -0.6, -4> } object { ScrewHead(1.6, 0.7, 0, T_SteelT) rotate y*100 translate <-17, -0.6, 9> }
object { Gear(30, 5, 1.2, 3, T_SteelT) translate <-13, -1.6, -13> } object { ScrewHead(1.3, 0.4, 0.2, T_SteelT) translate <-13, -0.4, -13> }
object { Driver(0.9, 70, T_Brass) rotate y*-40 translate <13.5, -1.6, -15> }
Dust(<0, -1.55, 0>, 26, 16, 160, 0.06) Dust(<0, 1.55, 0>, 5, 5, 14, 0.05)
Mark("counter", <0, 1.5, -7>) Mark("stop", <-0.4, 1.7, -11.8>) Mark("catch", vrotate(<-9.6, 0.8, 3>, -y*Off) + <15.8, 0.1, -7.8>) Mark("spring", <14.6, 1.5, -2>)
