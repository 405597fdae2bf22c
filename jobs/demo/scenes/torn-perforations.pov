#version 3.7;
// photo torn-perforations : The film on a light table: six perforations are torn along one edge.
#declare NORAD = 1;
#include "bench.inc"
#include "parts.inc"
Room(<0.05,0.05,0.05>, <0.4,0.4,0.4>) Stops(-0.15)
Cam(<-10, 84, -46>, <0, 0, -1>, 40, <2, 0, -4>, 45)
Lamp(<-90, 130, 50>, 0, 26, <0.40,0.36,0.31>, 4)
Card(<30, 160, 120>, 0, 140, 40, <0.8,0.8,0.8>)
// the light table
box { <-46, -3, -40>, <52, -0.4, 40> pigment { bozo color_map { [0 rgb <0.93,0.95,0.97>] [1 rgb <0.97,0.97,0.96>] } scale 60 } finish { emission LIT*0.62 diffuse 0.25 } }
plane { y, -3 texture { T_Rubber } }
// base of the film: 35 mm wide, holes 2.8 x 2 mm every 4.75 mm; the torn ones are on the near edge
#declare Hole = box { <-1.0, -1, -1.4>, <1.0, 1, 1.4> };
#macro Rip(X, W, S) prism { linear_sweep linear_spline -1, 1, 7, <X - W, -17.8>, <X - W*0.8, -16.2 + S>, <X - 0.6, -15.1>, <X + 0.7, -15.2>, <X + W*0.9, -16.0 - S>, <X + W*0.7, -17.8>, <X - W, -17.8> } #end
#declare P_Film = pigment { function { max(0, min(1, select(abs(z) - 12, 1, 0, 0)*select(mod(x + 380 + 18, 38) - 1.6, 0, 1, 1)*(0.35 + 0.35*f_noise3d(x*0.12, z*0.16, 3) + 0.25*f_noise3d(x*0.45, z*0.5, 8) + select(z + 2 + 5*f_noise3d(x*0.1, 0, 1), 0, 0, 0.22)))) }
  color_map { [0 rgb <1,0.80,0.56> filter 0.72] [0.25 rgb <0.62,0.42,0.26> filter 0.55] [0.7 rgb <0.30,0.19,0.11> filter 0.35] [1 rgb <0.07,0.05,0.03> filter 0.1] } };
#declare Torn = array[6] { -14.2, -9.5, -4.7, 0, 4.8, 9.6 }
difference { box { <-90, -0.07, -17.5>, <90, 0.07, 17.5> }
  #declare i = -19; #while (i < 20) object { Hole translate <i*4.75, 0, 15.1> } object { Hole translate <i*4.75, 0, -15.1> } #declare i = i + 1; #end
  #declare i = 0; #while (i < 6) Rip(Torn[i], 0.9 + rand(RS)*0.7, (rand(RS) - 0.5)*1.2) #declare i = i + 1; #end
  prism { linear_sweep linear_spline -1, 1, 6, <-9.5, -15.6>, <-8.2, -14.6>, <-6.6, -14.3>, <-4.9, -14.9>, <-4.6, -15.6>, <-9.5, -15.6> }
  texture { pigment { P_Film } finish { diffuse 0.4 specular 0.25 roughness 0.03 reflection { 0.02, 0.25 falloff 3 } } } rotate y*4 translate y*0.3 no_shadow }
// torn slips curl up
union { #declare i = 0; #while (i < 6) mesh { triangle { <Torn[i] + 0.7, 0.3, -15.4>, <Torn[i] + 1.9, 0.3, -15.2>, <Torn[i] + 1.0, 1.3, -17.4> } } mesh { triangle { <Torn[i] - 0.6, 0.3, -15.4>, <Torn[i] - 1.6, 0.3, -15.4>, <Torn[i] - 1.5, 0.9, -17.0> } } #declare i = i + 1; #end
  pigment { rgb <0.5,0.36,0.22> transmit 0.35 } finish { diffuse 0.5 specular 0.4 } rotate y*4 no_shadow }
union { #declare i = 0; #while (i < 12) prism { linear_sweep linear_spline 0, 0.12, 4, <0,0>, <0.9,0.2>, <0.3,0.7>, <0,0> rotate y*rand(RS)*360 scale 0.5 + rand(RS) translate <(rand(RS) - 0.4)*36, -0.35, -20 - rand(RS)*9> } #declare i = i + 1; #end pigment { rgb <0.30,0.2,0.12> transmit 0.2 } finish { diffuse 0.5 } }
object { Tweezers(100) rotate y*-70 translate <24, 0.1, -17> }
Fibres(<0, 0.5, 0>, 30, 14, 4, 4, 0.04, <0.2,0.2,0.2>)
Mark("torn", vrotate(<-2, 0.3, -16.4>, y*4)) Mark("frame", <0, 0.3, 2>)
