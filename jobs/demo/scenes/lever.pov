#version 3.7;
// photo lever-off-rest : The winding lever stands a few millimetres off its rest and will not go back.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.03,0.03,0.034>, <0.5,0.48,0.46>)
Cam(<96, 176, -140>, <47, 66, -2>, 21, <56, 70, -10>, 60)
Lamp(<-140, 300, -110>, 0, 70, <1.2,1.08,0.92>, 4)
Lamp(<300, 200, -160>, 0, 110, <0.22,0.25,0.30>, 3)
Card(<40, 300, 240>, <40, 70, 0>, 200, 70, <1.3,1.3,1.3>) Card(<240, 90, -60>, <40, 60, 0>, 60, 160, <0.7,0.72,0.75>)
BenchTop(T_Rubber)
BenchBack(230)
// seen from behind: the camera turned half round, its eyepiece towards us
union {
  object { Rangefinder(T_Chrome, 0.03, 38) }
  union { Tube(0, 3, 6.4, 4, T_Black) rotate x*90 translate <38, 65, 14> } cylinder { <38, 65, 13>, <38, 65, 15.6>, 4 texture { T_Pane } }
  rotate y*180 }
// the stud against which the lever should lie
cylinder { <56.5, 69, -13>, <56.5, 72.4, -13>, 1.3 texture { T_SteelT } }
Dust(<50, 69.1, 0>, 14, 12, 50, 0.07)
Dust(<0,0.1,-60>, 160, 60, 120, 0.14)
Mark("lever", <69.5, 72, -9>)
Mark("rest", <56.5, 72.4, -13>)
