#version 3.7;
// photo corvane-merle : The camera as it reached us: black paint, brass showing at the edges.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.03,0.03,0.034>, <0.55,0.53,0.5>)
Cam(<110, 105, -300>, <-2, 34, 0>, 26, <0, 38, -24>, 55)
Lamp(<250, 330, -150>, 0, 80, <1.25,1.12,0.95>, 4)
Lamp(<-330, 240, -120>, 0, 120, <0.25,0.28,0.33>, 3)
Card(<200, 50, -320>, <0,30,0>, 70, 150, <0.55,0.55,0.55>)
Card(<-60, 230, -560>, <0,40,0>, 90, 130, <3.4,3.6,3.9>)
BenchTop(T_Wood)
BenchBack(210)
// paint worn to brass along the edges and where fingers rest
#declare T_Worn = texture { pigment { granite turbulence 0.3 color_map { [0 rgb 0.014] [0.66 rgb 0.016] [0.70 rgb <0.20,0.13,0.05>] [1 rgb <0.55,0.38,0.16>] } scale 26 } normal { bumps 0.02 scale 0.4 } finish { diffuse 0.4 specular 0.5 roughness 0.03 reflection { 0.03, 0.25 falloff 3 } } }
object { Rangefinder(T_Worn, 0.022, 0) scale 0.92 rotate y*5 }
Dust(<0,0.1,-60>, 160, 60, 200, 0.14)
object { Driver(3, 120, T_Steel) rotate y*150 translate <-58, 0, -66> }
Mark("lens", <0, 31, -40>)
