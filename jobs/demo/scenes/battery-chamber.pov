#version 3.7;
// photo battery-chamber : The battery chamber in the base: green and white crust from an old cell.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.02,0.02,0.024>, <0.42,0.41,0.40>)
Cam(<-8, 56, -44>, <3, -1, 0>, 33, <0, -1, 2>, 55)
Lamp(<-90, 100, -6>, 0, 20, <1.2,1.08,0.92>, 4)
Lamp(<120, 90, -60>, 0, 60, <0.22,0.25,0.30>, 3)
Card(<10, 120, 110>, 0, 120, 40, <1.0,1.0,1.0>) Card(<130, 40, 10>, 0, 40, 120, <0.6,0.62,0.66>)
plane { y, -52 texture { T_Rubber } }
difference { object { Stadium(140, 36, 10, 1.6, 0) } cylinder { <0, 2, 0>, <0, 12, 0>, 8.6 } cone { <0, 9, 0>, 8.6, <0, 10.05, 0>, 9.6 } cylinder { <38, 4, 0>, <38, 12, 0>, 3.2 } translate -y*10 texture { T_SteelB pigment { P_Chrome } scale 0.8 } }
object { Stadium(139, 35.4, 42, 0, 0) translate -y*52 Leather(0.026, 1.4) }
// threaded wall, floor, contact
union { #declare i = 0; #while (i < 5) torus { 8.6, 0.28 translate -y*(1.6 + i*0.8) } #declare i = i + 1; #end texture { T_BrassT } }
cylinder { -y*7.9, -y*7.6, 8.5 texture { pigment { rgb 0.03 } finish { F_Semi } } }
cylinder { -y*7.6, -y*7.0, 3.2 texture { T_BrassT } } object { Spring(2.2, 0.28, 4, 4, T_BrassT) rotate z*90 translate -y*7.2 }
// crust: white salts over green
#declare T_Green = texture { pigment { granite color_map { [0 rgb <0.10,0.22,0.19>] [0.4 rgb <0.24,0.40,0.36>] [0.7 rgb <0.52,0.62,0.58>] [1 rgb <0.8,0.84,0.8>] } scale 2 } normal { granite 0.8 scale 0.6 } finish { diffuse 0.8 } }
#declare T_Salt = texture { pigment { granite color_map { [0 rgb <0.55,0.62,0.58>] [1 rgb <0.85,0.86,0.83>] } scale 1 } normal { granite 0.8 scale 0.5 } finish { diffuse 0.8 specular 0.1 } }
blob { threshold 0.5 #declare i = 0; #while (i < 150) #declare a = -30 + 190*rand(RS); #declare h = rand(RS); #declare r = 8.4 - (h < 0.35 ? rand(RS)*5.5 : rand(RS)*0.7); sphere { vrotate(<r, -7.4 + max(0, h - 0.35)*9.6, 0>, -y*a), 0.5 + rand(RS)*0.8, 1 } #declare i = i + 1; #end texture { T_Green } }
union { #declare i = 0; #while (i < 260) #declare a = -20 + 150*rand(RS); #declare h = rand(RS); #declare r = 8.2 - (h < 0.4 ? rand(RS)*5 : rand(RS)*0.8); sphere { vrotate(<r, -6.9 + max(0, h - 0.4)*10.6, 0>, -y*a), 0.10 + pow(rand(RS), 2)*0.42 } #declare i = i + 1; #end texture { T_Salt } }
union { #declare i = 0; #while (i < 70) #declare a = 40 + 60*rand(RS); #declare r = 9 + pow(rand(RS), 2)*4; sphere { vrotate(<r, 0, 0>, -y*a), 0.05 + rand(RS)*0.16 } #declare i = i + 1; #end texture { T_Salt } }
// the cover beside it, coin slot up
union { difference { union { cylinder { 0, y*1.6, 10 } torus { 9.7, 0.3 translate y*1.6 } cylinder { y*1.6, y*1.9, 9.7 } } box { <-11, 1.1, -0.8>, <11, 3, 0.8> } texture { T_ChromeT } } rotate y*28 translate <25, 0.05, -4> }
#declare k = -1; #while (k < 2) object { ScrewHead(2.0, 0.5, 0.3, T_ChromeT) rotate y*(k*36 + 10) translate <k*44, 0, 9> } #declare k = k + 2; #end
object { ScrewHead(1.7, 0.4, 0.3, T_ChromeT) rotate y*75 translate <-16, 0, -11> }
Dust(<0, 0, 0>, 40, 12, 40, 0.05)
Mark("crust", vrotate(<8.2, -2.4, 0>, -y*70)) Mark("contact", <0, -4, 0>) Mark("cover", <19, 1.9, -3>)
