#version 3.7;
// photo mirror-foam : Looking in at the mirror with the lens off: the foam that cushions it has gone soft and left crumbs.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.02,0.02,0.024>, <0.42,0.41,0.40>) Stops(0.1)
Cam(<-20, 30, -118>, <0, 1, 0>, 30, <0, 10, 4>, 50)
Lamp(<-90, 110, -150>, <0,0,0>, 24, <1.2,1.08,0.92>, 4)
Lamp(<130, 40, -150>, 0, 60, <0.20,0.23,0.28>, 3)
Card(<0, 40, -260>, 0, 120, 60, <0.8,0.8,0.8>) Card(<30, -120, -160>, 0, 160, 50, <0.5,0.5,0.52>)
// front of the body round the throat
difference { box { <-90, -40, 0>, <90, 60, 44> } cylinder { -z*5, z*60, 23 } box { <-19, -15, 4>, <19, 17, 43> } texture { T_Chrome } }
union { box { <-90, -60, 1>, <-38, 26, 10> } box { <38, -60, 1>, <90, 26, 10> } Leather(0.024, 1.4) translate -z*1.6 }
// bayonet ring and its screws
difference { union { cylinder { -z*3.2, z*0, 31 } torus { 30.7, 0.35 rotate x*90 translate -z*3.2 } } cylinder { -z*4, z*1, 23.4 } cylinder { -z*4, -z*2, 25.4 } texture { T_ChromeT rotate x*90 } }
difference { cylinder { -z*2.6, z*5, 25.2 } cylinder { -z*9, z*9, 21.6 } box { <-5, 10, -9>, <5, 40, 9> rotate z*60 } box { <-5, 10, -9>, <5, 40, 9> rotate z*-60 } box { <-5, 10, -9>, <5, 40, 9> rotate z*180 } texture { T_SteelT rotate x*90 } }
#declare i = 0; #while (i < 4) object { ScrewHead(1.6, 0.4, 0.2, T_ChromeT) rotate y*(i*47 + 12) rotate -x*90 translate <28.2*cos((i*90 + 45)*DEG), 28.2*sin((i*90 + 45)*DEG), -3.2> } #declare i = i + 1; #end
// black chamber, mirror at 45 degrees, its frame, the foam along the top
difference { box { <-20, -17, 3>, <20, 18, 44> } box { <-18.5, -15, 2>, <18.5, 15.6, 42> } texture { T_Flock pigment { rgb 0.02 } } }
union { box { <-17, 0, -17>, <17, 0.5, 17> pigment { rgb 0.02 } finish { diffuse 0.1 specular 0.5 reflection 0.72 } } box { <-17.4, -0.9, -17.4>, <17.4, -0.05, 17.4> texture { T_Steel } } 
  #declare T_Foam = texture { pigment { granite color_map { [0 rgb 0.014] [0.7 rgb <0.035,0.030,0.026>] [1 rgb <0.10,0.085,0.07>] } scale 1.4 } normal { granite 0.9 scale 0.7 } finish { diffuse 0.8 specular 0.12 roughness 0.06 } }
  union { #declare i = 0; #while (i < 110) #declare r = 0.08 + pow(rand(RS), 3)*0.5; sphere { <(rand(RS) - 0.5)*30, 0.5 + r*0.5, 16 - pow(rand(RS), 2)*26>, r } #declare i = i + 1; #end texture { T_Foam } }
  rotate -x*45 translate <0, 0, 21> }
blob { threshold 0.5 #declare i = 0; #while (i < 360) #declare X = (rand(RS) - 0.5)*35; #declare g = 0.4 + 0.6*abs(sin(X*0.33 + 0.4)); sphere { <X, 15.6 - rand(RS)*2.4*g, 4.6 + rand(RS)*3.4>, 0.6 + rand(RS)*0.8*g, 1 } #declare i = i + 1; #end texture { T_Foam } }
Dust(<0, 60, 20>, 60, 18, 30, 0.06)
Mark("foam", <2, 13.6, 5>) Mark("mirror", <0, 0, 21>)
