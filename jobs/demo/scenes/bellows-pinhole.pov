#version 3.7;
// photo bellows-pinhole : Inside the bellows in a dark room, a lamp outside: light comes through one corner.
#include "bench.inc"
#include "parts.inc"
Room(<0.001,0.001,0.001>, <0.004,0.004,0.005>)
Stops(-0.2)
Cam(<-8, -6, -92>, <6, 5, 0>, 42, <39, 30, 24>, 45)
#declare T_In = texture { pigment { granite color_map { [0 rgb 0.05] [1 rgb 0.09] } scale 5 } normal { bumps 0.15 scale 0.7 } finish { diffuse 0.8 specular 0.12 roughness 0.08 } }
Bellows(54, 42, 24, 22, 66, 11, 3.0, 4, T_In)
box { <-30, -30, 65>, <30, 30, 67> texture { T_Black } }
// the hole: at a worn corner, right and above; a lamp stands outside
#declare Spot = <39.0, 30.2, 25.5>;
#if (FOG < 0) light_source { Spot - <1.6, 1.4, 0.6> rgb <1.9,1.65,1.3>*1.1 fade_distance 7 fade_power 2 } #end
sphere { Spot, 0.8 pigment { rgb 1 } finish { emission LIT*<14,12.5,10> diffuse 0 } no_shadow }
Mark("pinhole", Spot)
#if (FOG < 0) light_source { <-30, 30, -150> rgb <0.05,0.055,0.065> } #end
difference { box { <-70, -60, -4>, <70, 60, 0> } box { <-53, -41, -5>, <53, 41, 1> } texture { T_Black } }
