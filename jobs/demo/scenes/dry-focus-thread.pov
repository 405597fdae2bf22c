#version 3.7;
// photo dry-focus-thread : The focusing thread taken apart: the old grease has gone brown and stiff.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "deck.inc"
Room(<0.02,0.02,0.024>, <0.42,0.41,0.40>)
Cam(<-38, 96, -112>, <6, 20, 2>, 33, <-2, 40, -12>, 55)
Lamp(<-100, 130, 10>, <0,10,0>, 26, <1.2,1.08,0.92>, 4)
Lamp(<120, 80, -80>, 0, 60, <0.22,0.25,0.30>, 3)
Card(<0, 140, 100>, <0,20,0>, 140, 50, <1.2,1.2,1.2>) Card(<140, 40, -10>, <0,20,0>, 50, 120, <0.7,0.72,0.75>)
BenchTop(T_Rubber)
#declare i = 0;
union {
  union { #while (i < 17) cone { y*(i*1.05), 21.4, y*(i*1.05 + 0.45), 22.3 } cone { y*(i*1.05 + 0.45), 22.3, y*(i*1.05 + 1.05), 21.4 } #declare i = i + 1; #end texture { T_BrassT } }
  Tube(-9, 0.2, 26, 17, T_ChromeT) object { KnurlRing(90, 26.8, 0.7, 6, T_ChromeT) translate -y*8.4 } 
  difference { cylinder { y*17, y*22, 20.6 } cylinder { y*10, y*23, 16.4 } texture { T_BrassT } } torus { 20.4, 0.25 translate y*22 texture { T_BrassT } } cylinder { y*12, y*12.2, 17 texture { T_Black } }
  #declare i = 0; blob { threshold 0.55 #while (i < 620) #declare a = 360*rand(RS); #declare h = 0.4 + floor(rand(RS)*16)*1.05 + rand(RS)*0.4; #declare s = (0.5 + 0.5*sin(a*DEG*2 + h*0.5))*1.2;
      sphere { vrotate(<21.9, h, 0>, y*a), 0.6 + s*rand(RS)*1.1, 1 } #declare i = i + 1; #end
    texture { pigment { granite color_map { [0 rgb <0.10,0.055,0.02>] [1 rgb <0.24,0.145,0.06>] } scale 3 } normal { bumps 0.4 scale 0.5 } finish { diffuse 0.65 specular 0.25 roughness 0.05 } } }
  rotate z*-72 rotate y*28 translate <-8, 26.4, 4> }
// the ring it turns in lies beside it
union { Tube(0, 12, 29, 23.2, T_ChromeT) object { KnurlRing(100, 29.6, 0.6, 5, T_ChromeT) translate y*3 } #declare i = 0; union { #while (i < 9) torus { 23.1, 0.3 translate y*(1.5 + i*1.1) } #declare i = i + 1; #end texture { T_BrassT } } translate <52, 0, 46> }
object { Driver(2, 100, T_Brass) rotate y*16 translate <20, 0, -34> }
blob { threshold 0.5 #declare i = 0; #while (i < 26) sphere { <(rand(RS) - 0.5)*10, 0, (rand(RS) - 0.5)*5>, 0.8 + rand(RS), 1 } #declare i = i + 1; #end scale <1, 0.35, 1> translate <-32, 0.1, -20> texture { pigment { rgb <0.20,0.11,0.035> } normal { bumps 0.4 scale 0.5 } finish { diffuse 0.6 specular 0.6 roughness 0.02 } } }
Dust(<0, 0.1, -20>, 60, 30, 120, 0.08)
Mark("grease", <-10, 40, -14>) 
