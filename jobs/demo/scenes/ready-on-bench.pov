#version 3.7;
// photo ready-on-bench : Finished: closed, clean and tested, ready to be packed.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.04,0.04,0.044>, <0.6,0.58,0.55>) Stops(-0.1)
Cam(<130, 205, -300>, <0, 34, 0>, 27, <-4, 50, -34>, 50)
Lamp(<210, 330, -120>, 0, 80, <1.25,1.13,0.97>, 4)
Lamp(<-330, 260, -160>, 0, 120, <0.30,0.32,0.36>, 3)
Card(<230, 60, -320>, <0,30,0>, 80, 150, <0.55,0.55,0.55>) Card(<-90, 300, -560>, <0,40,0>, 100, 130, <3.4,3.6,3.9>)
BenchTop(T_Wood) BenchBack(240)
// a folded grey cloth beneath
#declare T_Cloth = texture { pigment { granite color_map { [0 rgb <0.30,0.31,0.33>] [1 rgb <0.40,0.41,0.43>] } scale 6 } normal { average normal_map { [1 gradient x 0.3 sine_wave scale 0.5] [1 gradient z 0.3 sine_wave scale 0.5] [1 bumps 0.25 scale 12] } } finish { diffuse 0.8 } }
object { Round_Box_Union(<-105, 0, -80>, <100, 2.4, 62>, 1.1) texture { T_Cloth } rotate y*6 } object { Round_Box_Union(<-103, 2.2, -78>, <97, 4.6, 60>, 1.1) texture { T_Cloth } rotate y*7 }
object { Rangefinder(T_Chrome, 0.028, 0) rotate y*4 translate y*4.6 }
// a lens cap and a blower brush at hand
union { object { Knurl(90, 21, 0.5, 7, T_Black) } cylinder { y*7, y*7.6, 19 texture { T_Gloss } } torus { 14, 0.5 translate y*7.5 texture { T_Black } } translate <92, 4.6, -46> }
Mark("lens", <0, 38, -42>) Mark("counter", <-28, 75, 8>)
