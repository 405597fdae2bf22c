#version 3.7;
// photo pellam-six : The folder as it reached us, opened for the first look.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "bodies2.inc"
Room(<0.03,0.03,0.034>, <0.5,0.5,0.5>)
Cam(<-190, 130, -320>, <-4, 44, -28>, 29, <-4, 50, -66>, 55)
Lamp(<-220, 330, -200>, 0, 80, <1.25,1.12,0.95>, 4)
Lamp(<330, 220, -140>, 0, 120, <0.26,0.29,0.34>, 3)
Card(<-330, 60, -200>, <0,30,0>, 120, 160, <0.5,0.5,0.5>)
Card(<60,250,-560>, <0,40,0>, 90, 130, <3.4,3.6,3.9>)
BenchTop(T_Wood)
BenchBack(240)
object { Folder(0.028) }
Dust(<0,0.1,-80>, 180, 70, 200, 0.14)
Mark("bellows", <-38, 60, -38>)
Mark("lens", <0, 43, -80>)
