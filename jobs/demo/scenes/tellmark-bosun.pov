#version 3.7;
// photo tellmark-bosun : The reflex as it reached us, with its standard lens.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "bodies2.inc"
Room(<0.03,0.03,0.034>, <0.5,0.5,0.5>)
Cam(<-150, 120, -320>, <0, 38, 0>, 27, <4, 44, -40>, 55)
Lamp(<-240, 340, -160>, 0, 80, <1.2,1.10,0.95>, 4)
Lamp(<330, 220, -140>, 0, 120, <0.25,0.28,0.33>, 3)
Card(<-260, 60, -300>, <0,30,0>, 90, 160, <0.5,0.5,0.5>)
Card(<80,230,-560>, <0,40,0>, 90, 130, <3.4,3.6,3.9>)
BenchTop(T_Rubber)
BenchBack(220)
object { Reflex(T_Gloss, 0.02, 0) rotate y*-6 }
Fibres(<0,0.2,-50>, 150, 70, 40, 6, 0.06, <0.5,0.5,0.45>)
Mark("lens", <3, 34, -60>)
