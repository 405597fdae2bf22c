#version 3.7;
// photo lens-haze WHAT=0 : The lens held to our lamp: a milky veil inside the glass, thickest near the middle.
// photo lens-clear WHAT=1 : The same lens under the same lamp after cleaning: the glass is clear.
// photo balsam-edge WHAT=2 : The rear of the lens under the lamp: coloured bands at the rim where two glasses are cemented.
// photo clean-iris WHAT=3 : The iris after cleaning, half closed: the blades are dry and even.
// photo oily-iris WHAT=4 : The iris half closed: an oily film shines on the blades.
#ifndef (WHAT) #declare WHAT = 0; #end
#declare NORAD = 1;                               // glass on glass: bounced light would cost hours
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "iris.inc"
Room(<0.015,0.015,0.018>, <0.36,0.35,0.35>)
Cam(<6, 84, -74>, <0, 13, -1>, 32, <0, 20, -6>, 60)
Lamp(<-100, 150, 40>, <0,20,0>, 34, <1.2,1.08,0.92>, 4)
Lamp(<140, 90, -90>, 0, 60, <0.20,0.23,0.28>, 3)
Card(<-60, 190, 40>, <0, 20, 0>, 36, 50, <2.6,2.7,2.9>) Card(<150, 60, 30>, <0, 20, 0>, 50, 120, <0.7,0.7,0.72>)
#if (WHAT < 3) BenchTop(T_Felt) #else BenchTop(T_Rubber) #end
#declare Tilt = transform { scale 1.05 rotate -x*16 rotate y*12 translate <0, 2.5, 0> };
#macro Mid(P) vtransform(P, Tilt) #end
union {
  Tube(0, 2.2, 28.5, 16.8, T_ChromeT) Tube(0.1, 7, 26.5, 16.8, T_ChromeT)
  object { KnurlRing(90, 27.2, 0.8, 5.5, T_ChromeT) translate y*7.2 } Tube(12, 18.5, 25.2, 17.2, T_ChromeT) object { KnurlRing(120, 25.8, 0.55, 4.5, T_ChromeT) translate y*18.8 }
  difference { union { cylinder { y*20, y*24.4, 24.6 } cone { y*24.4, 24.6, y*25, 24 } } cylinder { y*19, y*27, 19 } texture { T_ChromeT } }
  #if (WHAT != 2) RingTextAt(array[10] { "B", "1", "2", "4", "8", "15", "30", "60", "125", "300" }, 10, 23.5, 2.4, 40, 300, T_Black, 25.04) #end        // the rear of a lens carries no figures
  difference { cylinder { y*18, y*27, 20.4 } cone { y*22, 15.4, y*27.3, 19.4 } cylinder { y*10, y*28, 15.5 } texture { T_Black } } torus { 19.9, 0.4 translate y*27 texture { T_Black } }
  #if (WHAT != 2) RingTextAt(array[14] { "P", "E", "L", "L", "A", "R", "", "4", "5", "m", "m", "", "", "" }, 14, 18.2, 1.5, -60, 250, T_White, 25.9) #end
  #if (WHAT < 3)
    object { Glass(15.5, <0.42,0.22,0.60>, <0.60,0.36,0.15>, 8) translate y*22.5 }
  #else
    difference { cylinder { y*1, y*22.6, 17 } cone { y*4, 13, y*22.8, 15.6 } texture { T_Flock } } torus { 15.2, 0.3 translate y*21 texture { T_Steel } }
    object { Iris(10, 13.4, (WHAT = 3 ? 5.2 : 6.0), (WHAT = 4)) translate y*11 }
    cylinder { y*6, y*6.1, 13 pigment { rgb <0.10,0.10,0.11> } finish { diffuse 0.8 } }
    torus { 13.3, 0.25 translate y*12.5 texture { T_SteelT } }
  #end
  #if (WHAT = 0)
    disc { y*20.2, y, 14.6 pigment { cylindrical turbulence 0.12 color_map { [0 rgb 0.8 transmit 0.93] [0.25 rgb 0.8 transmit 0.70] [0.6 rgb <0.86,0.88,0.9> transmit 0.46] [1 rgb <0.9,0.92,0.94> transmit 0.38] } scale <16,1,16> translate <-1.5,0,1.5> } normal { granite 0.3 scale 3 } finish { diffuse 0.75 } no_shadow }
    disc { y*19.6, y, 14.5 pigment { granite turbulence 0.4 color_map { [0 rgb 0.85 transmit 0.95] [0.5 rgb 0.85 transmit 0.82] [0.8 rgb 0.9 transmit 0.60] [1 rgb 0.95 transmit 0.45] } scale 5 } finish { diffuse 0.6 } no_shadow }
  #end
  #if (WHAT = 2)
    #declare F_Rim = function (x, z) { max(0, sqrt(x*x + z*z)/14.6 - 0.74 - 0.10*sin(3*atan2(z, x) + 0.8) + 0.26*sin(atan2(z, x) + 1.3) + 0.015*sin(17*atan2(z, x))) }
    disc { y*20.5, y, 14.6 pigment { function { F_Rim(x, z)*2.6 } color_map { [0.00 rgb 0.5 transmit 1] [0.04 rgb <0.7,0.7,0.6> transmit 0.75] [0.09 rgb <0.75,0.55,0.15> transmit 0.35] [0.16 rgb <0.7,0.15,0.35> transmit 0.35]
      [0.24 rgb <0.15,0.25,0.75> transmit 0.35] [0.32 rgb <0.1,0.6,0.45> transmit 0.35] [0.42 rgb <0.8,0.7,0.2> transmit 0.4] [0.52 rgb <0.75,0.25,0.45> transmit 0.45] [0.64 rgb <0.2,0.5,0.6> transmit 0.5] [0.8 rgb <0.5,0.65,0.5> transmit 0.6] [1 rgb 0.7 transmit 0.6] } } 
      finish { diffuse 0.5 emission LIT*0.06 specular 0.3 reflection 0.05 } no_shadow }
  #end
  #if (WHAT < 3) Dust(<0, 24.3, 0>, 8, 8, (WHAT = 1 ? 4 : 26), 0.05) #end
  transform Tilt }
object { Tweezers(110) rotate y*-25 translate <36, 0, -20> }
Dust(<0, 0.1, -20>, 70, 40, 120, 0.10) Fibres(<0, 0.3, -20>, 60, 30, 14, 7, 0.05, <0.5,0.5,0.45>)
#switch (WHAT)
  #case (0) Mark("haze", Mid(<-2, 20, 2>)) #break
  #case (1) Mark("glass", Mid(<-2, 20, 2>)) #break
  #case (2) Mark("edge", Mid(<8, 20.5, 7>)) #break
  #case (4) Mark("oil", Mid(<-9.5, 11, 1.5>)) Mark("opening", Mid(<0, 11, 0>)) #break
  #else Mark("blades", Mid(<-7, 11, -4>)) Mark("opening", Mid(<0, 11, 0>))
#end
