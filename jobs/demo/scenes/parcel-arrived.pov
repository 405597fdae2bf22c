#version 3.7;
// photo parcel-arrived : The parcel opened on our bench: one camera in paper wool, dry and whole.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "parcel.inc"
Room(<0.04,0.04,0.045>, <0.45,0.44,0.43>)
Cam(<-70, 430, -330>, <2, 70, -6>, 31, <0, 100, -12>, 40)
Lamp(<-260, 460, -60>, 0, 100, <1.2,1.08,0.92>, 4)
Lamp(<330, 330, -260>, 0, 120, <0.24,0.27,0.32>, 3)
Card(<60, 600, 160>, <0, 90, 0>, 260, 120, <1.2,1.25,1.3>)
BenchTop(T_Wood)
BenchBack(330)
Carton(220, 118, 160, 118)
PaperWool(<0, 62, 0>, 104, 24, 74, 520, 90, 2.2, T_Wool)
PaperWool(<0, 90, 52>, 90, 12, 18, 120, 80, 2.2, T_Wool) PaperWool(<-80, 92, -10>, 16, 12, 54, 110, 80, 2.2, T_Wool) PaperWool(<86, 90, -10>, 14, 12, 54, 110, 80, 2.2, T_Wool)
object { Rangefinder(T_Chrome, 0.03, 0) rotate x*74 rotate y*12 rotate z*4 translate <4, 82, -34> }
PaperWool(<0, 92, -66>, 90, 12, 8, 90, 80, 2.2, T_Wool) PaperWool(<-70, 108, 6>, 14, 4, 40, 12, 70, 2.2, T_Wool)
PaperWool(<150, 3, -140>, 40, 2, 30, 12, 60, 2.2, T_Wool)
box { <-1, 0, -46>, <66, 0.3, 46> texture { T_Paper } rotate y*24 translate <-230, 0.2, -60> }
Mark("camera", <4, 112, -2>)
