#version 3.7;
// photo spacer-in-gears WHAT=0 : Under the top cover: a thin brass washer lies between the winding gears.
// photo loose-screw-gears WHAT=1 : Under the top cover: a small screw has dropped between two winding gears.
#ifndef (WHAT) #declare WHAT = 0; #end
#include "bench.inc"
#include "parts.inc"
#include "deck.inc"
#declare EmptyHole = (WHAT = 1);
DeckLight()
#if (WHAT = 0)
  Cam(<-3, 50, -42>, <1.5, 0, 0>, 35, <1.5, 0, 1>, 60)
  object { Washer(2.5, 1.45, 0.42, T_BrassT) rotate z*9 rotate x*14 translate <2.6, 0.25, -2.0> }
  Mark("spacer", <2.6, 0.6, -2.0>) Mark("gear", <-8, 1, 0>)
#else
  Cam(<9, 44, -44>, <0.5, 0, 3>, 35, <2.5, 0.5, 5>, 60)
  object { Screw(1.35, 0.8, 3.6, T_SteelT) rotate z*80 rotate y*62 translate <1.7, 1.5, 4.4> }
  Mark("screw", <2.4, 1.4, 6.0>) Mark("home", <-9, 1.4, 15.5>) Mark("gear", <9.9, 0.5, 4.3>)
#end
Deck()
