#version 3.7;
// photo covering-bumps WHAT=0 : The covering under a raking lamp: four small hard bumps have risen beneath it.
// photo covering-after WHAT=1 : The same place with the covering laid again: flat.
#ifndef (WHAT) #declare WHAT = 0; #end
#include "bench.inc"
#include "parts.inc"
#include "bodies.inc"
Room(<0.015,0.015,0.018>, <0.30,0.30,0.30>)
Stops(-0.1)
Cam(<-12, 62, -66>, <-1, 0, 1>, 29, <0, 0, -1>, 45)
Lamp(<-130, 44, 30>, 0, 16, <1.5,1.36,1.15>, 4)
Lamp(<120, 120, -60>, 0, 60, <0.13,0.15,0.18>, 3)
Card(<30, 120, 120>, 0, 110, 40, <1.1,1.1,1.1>)
// the covering, 80 x 44 mm, as relief: the grain, and the bumps pushed up from below
#declare Grain = function { pattern { crackle turbulence 0.12 scale 0.0125 } }
#declare Fine = function { pattern { granite scale 0.01 } }
#declare Bump = function (x, y, cx, cy, r, h) { h*exp(-pow((pow((x - cx)*80, 2) + pow((y - cy)*44, 2))/(r*r), 1.25)) }
#if (WHAT = 0)
  #declare Rise = function { Bump(x, y, 0.33, 0.56, 3.0, 0.50) + Bump(x, y, 0.55, 0.36, 2.6, 0.42) + Bump(x, y, 0.64, 0.66, 3.3, 0.54) + Bump(x, y, 0.44, 0.80, 2.1, 0.32) + Bump(x, y, 0.76, 0.44, 1.8, 0.25) }
#else
  #declare Rise = function { Bump(x, y, 0.33, 0.56, 2.4, 0.02) + Bump(x, y, 0.64, 0.66, 2.6, 0.02) }
#end
height_field { function 1800, 990 { min(1, 0.085*min(1, pow(Grain(x, y*0.55, 0), 0.6)*1.6) + 0.03*Fine(x, y*0.55, 0) + Rise(x, y, 0)) } smooth
  translate <-0.5, 0, -0.5> scale <80, 2.6, 44> texture { pigment { granite color_map { [0 rgb 0.020] [0.7 rgb 0.026] [1 rgb 0.045] } scale 8 } finish { diffuse 0.65 specular 0.20 roughness 0.07 } } }
// chrome above and below, a strap lug, a screw
object { Round_Box_Union(<-70, -6, 22.2>, <70, 2.6, 60>, 1.2) texture { T_Chrome } }
object { Round_Box_Union(<-70, -6, -50>, <70, 1.6, -22.2>, 1.0) texture { T_Chrome } }
object { ScrewHead(2.1, 0.6, 0.3, T_ChromeT) rotate y*33 translate <21, 2.5, 29> }
object { Round_Box_Union(<-28, -2, -9>, <-22, 4.2, 12>, 1.8) texture { T_ChromeP } translate x*-9 }
cylinder { <52, -8, 0>, <52, 4, 0>, 16 texture { T_ChromeT } } object { Knurl(100, 17, 0.5, 4, T_ChromeT) translate <52, 4, 0> }
Dust(<0, 1.0, 0>, 36, 20, 70, 0.06) Fibres(<6, 1.1, 0>, 25, 14, 4, 5, 0.035, <0.7,0.68,0.64>)
// the height field runs from far to near, so y = 0.66 lies at z = -7
#if (WHAT = 0) Mark("bump", <11.2, 1.9, -7>) Mark("second-bump", <-13.6, 1.9, -2.6>) #else Mark("place", <11.2, 0.6, -7>) #end
