#version 3.7;
// photo rangefinder-prism : The rangefinder under the top cover: the half-silvered block sits crooked in its holder.
#declare NORAD = 1;
#include "bench.inc"
#include "parts.inc"
#include "deck.inc"
Room(<0.02,0.02,0.022>, <0.45,0.44,0.43>) Stops(0.2)
Cam(<-26, 42, -48>, <1, 2.4, 0>, 32, <-6, 5, -5>, 55)
Lamp(<-80, 100, 40>, 0, 22, <1.25,1.12,0.95>, 4)
Lamp(<110, 70, -70>, 0, 46, <0.24,0.27,0.32>, 3)
Card(<10, 110, 110>, 0, 110, 36, <1.5,1.5,1.45>) Card(<-130, 30, -30>, 0, 50, 90, <0.9,0.92,0.95>) Card(<90, 40, 60>, 0, 60, 80, <0.8,0.82,0.85>)
box { <-80, -8, -26>, <80, 0, 22> texture { T_Deck } } box { <-80, -9, -31>, <80, 1.2, -26.3> texture { T_Chrome } } box { <-80, -9, 22.4>, <80, 1.4, 27> texture { T_Chrome } }
// glass cube of two prisms, half-silvered along the diagonal, cemented in a brass cradle
#macro Block(W, H) difference { box { <-W/2, 0, -W/2>, <W/2, H, W/2> }
    #local k = 0; #while (k < 4) box { <-9, -1, -0.25>, <9, H + 1, 0.25> rotate y*45 translate <W/2, 0, W/2> rotate y*k*90 } #local k = k + 1; #end } #end
#declare Crooked = transform { rotate y*13 rotate z*2 translate <0.5, 0.1, -0.6> };
union {
  object { Block(10, 9) pigment { rgb <0.93,0.98,0.96> filter 0.92 transmit 0.04 } finish { diffuse 0.02 specular 0.8 roughness 0.004 reflection { 0.04, 0.9 fresnel on } conserve_energy } interior { ior 1.52 } no_shadow transform Crooked }
  box { <-6.4, 0.3, -0.02>, <6.4, 8.7, 0.02> rotate y*45 pigment { rgb <0.9,0.72,0.35> transmit 0.55 } finish { diffuse 0.12 reflection <0.36,0.26,0.10> } no_shadow transform Crooked }
  difference { box { <-7.4, -0.6, -7.0>, <7.4, 3.0, 7.0> } box { <-5.05, 0, -8>, <5.05, 4, 8> } box { <-8, 1.2, -5.05>, <8, 4, 5.05> } texture { T_Brass } }
  object { ScrewHead(1.3, 0.6, 0.15, T_SteelT) rotate y*30 translate <-6.2, 3.0, 6.0> }
  translate <-6, 0.6, -2> }
// moving lens on its arm, setting screw with a spot of paint, follower arm and spring
union { difference { cylinder { 0, z*1.6, 4.4 } cylinder { -z, z*3, 3.4 } texture { T_BrassT rotate x*90 } } cylinder { z*0.6, z*1.0, 3.5 pigment { rgb <0.9,0.97,1> transmit 0.9 } finish { diffuse 0.02 reflection { 0.06, 0.6 falloff 3 } } no_shadow } translate <14, 5, -4> }
object { Link(<14, 0, -3.2>, <27, 0, 6>, 1.6, 1.0, T_SteelB) translate y*0.6 } object { Link(<27, 0, 6>, <20, 0, 14>, 1.6, 1.0, T_SteelB) translate y*0.6 }
object { ScrewHead(1.9, 0.8, 0.2, T_SteelT) rotate y*25 translate <27, 1.6, 6> } cylinder { <20, 1, 14>, <20, 3.4, 14>, 1.9 texture { T_BrassT } }
object { ScrewHead(1.4, 0.8, 0, T_BrassT) rotate y*-40 translate <8, 1.4, 10> } cylinder { <8, 0, 10>, <8, 1.4, 10>, 2.2 texture { T_SteelT } } sphere { <8.9, 2.1, 10.6>, 0.6 scale <1,1,1> texture { T_Red } }
object { Spring(0.8, 0.15, 10, 9, T_Steel) rotate y*24 translate <9.4, 1.9, 14> } cylinder { <9, 0, 14.2>, <9, 2.6, 14.2>, 0.4 texture { T_SteelT } }
object { Round_Box_Union(<-34, 0, -14>, <-20, 7, 6>, 0.5) texture { T_Black } } box { <-19.9, 1.4, -9>, <-19.6, 6, 1> texture { T_Pane } }
object { Round_Box_Union(<-16, 0, -20>, <6, 5.4, -14>, 0.4) texture { T_Black } } 
object { ScrewHead(1.6, 0.5, 0.2, T_Blued) rotate y*55 translate <-14, 0, 14> } object { ScrewHead(1.6, 0.5, 0.2, T_Blued) rotate y*-25 translate <33, 0, -12> }
Dust(<0, 0.03, 0>, 40, 20, 160, 0.06) Fibres(<0, 0.1, 0>, 40, 20, 4, 4, 0.03, <0.6,0.58,0.55>)
Mark("prism", <-6, 9, -2>) Mark("setting-screw", <8, 2, 10>)
