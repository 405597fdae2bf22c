#version 3.7;
// photo corvane-skerry : The camera as it reached us, standing on the bench.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.03,0.03,0.034>, <0.55,0.53,0.5>)
Cam(<-105, 120, -330>, <4, 36, 0>, 26, <0, 40, -24>, 55)
Lamp(<-240, 330, -160>, 0, 80, <1.25,1.12,0.95>, 4)
Lamp(<330, 240, -120>, 0, 120, <0.25,0.28,0.33>, 3)
Card(<-190, 50, -320>, <0,30,0>, 70, 150, <0.55,0.55,0.55>)
Card(<70, 230, -560>, <0,40,0>, 90, 130, <3.4,3.6,3.9>)
BenchTop(T_Rubber)
BenchBack(210)
object { Rangefinder(T_Chrome, 0.03, 0) rotate y*-4 }
Dust(<0,0.1,-60>, 160, 60, 200, 0.14)
object { Driver(3, 120, T_Brass) rotate y*20 translate <62, 0, -72> }
Mark("lens", <0, 34, -44>)
Mark("lever", <-52, 72, 4>)
