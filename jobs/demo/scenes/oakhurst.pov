#version 3.7;
// photo oakhurst-stereo WHAT=0 : The stereo camera as it reached us: two lenses, one shutter setting between them.
// photo oakhurst-box WHAT=1 : The box camera as it reached us.
#ifndef (WHAT) #declare WHAT = 0; #end
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "bodies3.inc"
Room(<0.03,0.03,0.034>, <0.5,0.5,0.5>)
#if (WHAT = 0) Cam(<-110, 150, -350>, <0, 38, -4>, 29, <0, 40, -32>, 55) #else Cam(<-190, 170, -380>, <4, 52, 0>, 25, <-10, 60, -56>, 60) #end
Lamp(<-240, 340, -180>, 0, 80, <1.25,1.12,0.95>, 4)
Lamp(<330, 230, -140>, 0, 120, <0.26,0.29,0.34>, 3)
Card(<-200, 60, -340>, <0,30,0>, 80, 160, <0.5,0.5,0.5>) Card(<60, 230, -560>, <0,40,0>, 90, 130, <3.4,3.6,3.9>)
#if (WHAT = 0) BenchTop(T_Felt) #else BenchTop(T_Wood) #end
BenchBack(230)
#if (WHAT = 0) object { Stereo(0.03) rotate y*-3 } Mark("left-lens", <-34, 36, -34>) Mark("right-lens", <34, 36, -34>)
#else object { BoxCamera(0.028) rotate y*-2 } Mark("lens", <0, 46, -60>) Mark("winding-key", <-50, 84, 10>) #end
Dust(<0,0.1,-80>, 170, 60, 200, 0.14) Fibres(<0,0.2,-70>, 150, 70, 20, 7, 0.06, <0.5,0.5,0.45>)
object { Tweezers(120) rotate y*-18 translate <64, 0, -92> }
