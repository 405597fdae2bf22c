#version 3.7;
// photo packed-parcel : The parcel packed and taped, waiting for the carrier.
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
#include "parcel.inc"
Room(<0.04,0.04,0.045>, <0.45,0.44,0.43>) Stops(0.1)
Cam(<-210, 300, -400>, <0, 50, 0>, 33, <-20, 100, -70>, 45)
Lamp(<-300, 420, -60>, 0, 100, <1.2,1.08,0.92>, 4)
Lamp(<330, 300, -260>, 0, 120, <0.24,0.27,0.32>, 3)
Card(<60, 500, 160>, <0, 90, 0>, 260, 120, <1.0,1.0,1.05>)
BenchTop(T_Wood) BenchBack(330)
union {
  object { Round_Box_Union(<-114, 0, -84>, <114, 116, 84>, 1.4) texture { T_Card } } 
  object { Round_Box_Union(<-114.4, 115.4, -84.2>, <114.4, 118, -0.5>, 0.9) texture { T_Card } } object { Round_Box_Union(<-114.4, 115.4, 0.5>, <114.4, 118, 84.2>, 0.9) texture { T_Card } }
  // tape over the seam and down both ends
  object { Round_Box_Union(<-115, 100, -25>, <115, 118.25, 25>, 0.9) texture { T_Tape } } box { <-114.6, 60, -25>, <114.6, 117, 25> texture { T_Tape } }
  // label with ruled, unreadable lines
  union { box { <-46, 0, -32>, <46, 0.25, 32> texture { T_Paper } } #declare i = 0; #while (i < 5) box { <-38, 0.2, 16 - i*9>, <-38 + 40 + 30*rand(RS), 0.3, 18.4 - i*9> pigment { rgb 0.12 } finish { F_Matt } } #declare i = i + 1; #end
    #declare i = 0; #declare X = 6; #while (i < 16) #declare w = 0.5 + rand(RS)*1.3; box { <X, 0.2, -29>, <X + w, 0.3, -20> pigment { rgb 0.06 } finish { F_Matt } } #declare X = X + w + 0.6 + rand(RS)*0.9; #declare i = i + 1; #end
    rotate y*-4 translate <-44, 118.1, -52> scale <1, 1, 0.95> }
  rotate y*14 }
union { Tube(0, 50, 44, 36, T_Tape) rotate x*90 rotate y*60 rotate x*90 translate <176, 50, -110> }
PaperWool(<-170, 3, -120>, 60, 2, 30, 14, 60, 2.2, T_Wool)
Mark("label", vrotate(<-44, 118, -52>, y*14))
