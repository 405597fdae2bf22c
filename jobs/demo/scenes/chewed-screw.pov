#version 3.7;
// photo chewed-screw : The bottom plate: the slot of this screw was torn by a driver that did not fit.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.02,0.02,0.024>, <0.42,0.41,0.40>)
Stops(-0.3)
Cam(<5, 34, -22>, <0.6, 0, 0.6>, 27, <0, 0.4, -0.5>, 55)
Lamp(<-50, 56, 30>, 0, 12, <1.2,1.08,0.92>, 4)
Lamp(<90, 50, -40>, 0, 40, <0.20,0.23,0.28>, 3)
Card(<-26, 80, 76>, 0, 34, 24, <1.3,1.3,1.3>) Card(<90, 30, 30>, 0, 30, 90, <0.7,0.7,0.75>)
difference { box { <-60, -6, -13.4>, <60, 0, 15.6> } cone { -y*0.8, 3.05, y*0.1, 3.75 } cylinder { -y*5, y, 3.0 } cylinder { <22, -4, 2>, <22, 1, 2>, 6.2 } cone { <-24, -0.8, 3>, 3.05, <-24, 0.1, 3>, 3.75 } texture { T_SteelB scale 0.5 pigment { P_Chrome } } }
cylinder { <-60, -1.2, -13.4>, <60, -1.2, -13.4>, 1.2 texture { T_Chrome } } box { <-60, -6, -14.6>, <60, -1.2, -13.4> texture { T_Chrome } }
union { box { <-60, -20, -14>, <60, -6, 15> } box { <-60, -20, 15>, <60, -0.5, 16.4> } Leather(0.03, 1.0) }
// the torn screw
#declare A = 34;
#declare T_Torn = texture { pigment { granite color_map { [0 rgb 0.02] [0.6 rgb 0.07] [1 rgb <0.16,0.12,0.09>] } scale 1.5 } normal { granite 0.5 scale 0.5 } finish { diffuse 0.5 specular 0.5 roughness 0.05 metallic reflection 0.08 } }
difference {
  intersection { cylinder { -y*2, y*1.4, 3.0 } sphere { -y*7.4, 8.2 } }
  union { box { <-3.4, 0.05, -0.34>, <3.4, 2, 0.34> }
    prism { linear_sweep linear_spline 0.02, 2, 9, <-3.2,-0.3>, <-2.3,-0.95>, <-1.5,-0.5>, <-0.6,-0.38>, <-0.5,0.3>, <-1.3,0.42>, <-2.1,0.98>, <-3.3,0.4>, <-3.2,-0.3> }
    prism { linear_sweep linear_spline 0.10, 2, 10, <0.5,-0.3>, <1.2,-0.45>, <1.9,-1.15>, <2.5,-0.9>, <3.3,-0.35>, <3.3,0.3>, <2.4,0.85>, <1.7,0.7>, <0.9,0.36>, <0.5,-0.3> }
    #declare i = 0; #while (i < 26) #declare s = (mod(i, 2) ? 1 : -1);
      sphere { 0, 0.16 + rand(RS)*0.22 scale <2.2, 0.7, 0.8> rotate y*(rand(RS) - 0.5)*70 translate <(rand(RS)*2 - 1)*2.7, 0.78 - 0.06*rand(RS), s*(0.35 + rand(RS)*0.45)> } #declare i = i + 1; #end
    rotate y*A texture { T_Torn } }
  texture { T_SteelT } }
// the burr the driver pushed up
union { #declare i = 0; #while (i < 7) #declare s = (rand(RS) < 0.5 ? 1 : -1); #declare q = 0.8 + rand(RS)*1.9;
    sphere { 0, 0.10 + rand(RS)*0.12 scale <2.6, 0.9, 0.4> rotate z*(rand(RS)*24 - 12) rotate y*(rand(RS)*36 - 18) translate <s*q, 0.74 - q*q*0.055, (rand(RS) < 0.5 ? 1 : -1)*(0.55 + 0.5*exp(-pow((q - 2)*1.3, 2)) + rand(RS)*0.12)> } #declare i = i + 1; #end
  rotate y*A texture { T_Steel } }
// slips of the driver across the plate
union { #declare i = 0; #while (i < 9) #declare a = A + (rand(RS) - 0.5)*26; #declare U = 3.9 + rand(RS)*0.6; #declare V = U + 2 + rand(RS)*7;
    cylinder { <U, -0.012, 0>, <V, -0.028, 0>, 0.02 + rand(RS)*0.02 rotate y*(a + (mod(i, 3) = 0 ? 180 : 0)) } #declare i = i + 1; #end
  pigment { rgb 0.22 } finish { F_Metal } }
union { #declare i = 0; #while (i < 46) #declare P = <(rand(RS) - 0.5)*44, -0.03, (rand(RS) - 0.5)*24>; 
    #declare Q = P + vrotate(x*(1 + rand(RS)*5), y*rand(RS)*360); #if (min(vlength(P), vlength(Q), vlength((P + Q)/2)) > 4.2) cylinder { P, Q, 0.036 } #end #declare i = i + 1; #end
  pigment { rgb 0.75 } finish { F_Metal } }
// a sound neighbour and the tripod socket
intersection { cylinder { -y*2, y*1.4, 3.0 } sphere { -y*7.4, 8.2 } box { <-3.4, -3, -0.34>, <3.4, 3, 0.34> inverse } texture { T_SteelT } rotate y*-20 translate <-24, 0, 3> }
difference { cylinder { <22, -3, 2>, <22, 0.3, 2>, 6.1 } cylinder { <22, -4, 2>, <22, 1, 2>, 3.1 } texture { T_SteelT } }
union { #declare i = 0; #while (i < 6) torus { 3.0, 0.22 translate <22, -0.3 - i*0.5, 2> } #declare i = i + 1; #end texture { T_Steel } }
Dust(<0, 0, 0>, 24, 12, 120, 0.035) Fibres(<7, 0.05, -5>, 5, 3, 2, 3, 0.016, <0.25,0.22,0.2>)
Mark("slot", <0, 0.7, 0>) Mark("slip", vrotate(<7.5, 0, 0>, y*A))
