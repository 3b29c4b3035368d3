"""What each part of a restraint can bear: pure functions, one published method each, SI in and out.

Clauses done and not done, by source. "Memory": written down without the page at hand. The tests under
tests/published say which printed numbers each was held against, and how closely.

====================  ==================================================  ====================================
source                done (module)                                       not done
====================  ==================================================  ====================================
NDS 2018 ch. 3, 11    11.3.1 C_D C_M C_delta C_eg (`nds.adjusted`);       11.3.6 group factor C_g (it is 1
                      3.4.2 shear, 3.4.3.3(a) shear at a joint (memory),  below 1/4 in); C_t, C_di, C_tn;
                      3.10.2 and 3.10.4 bearing (`timber`)                3.10.3 bearing at an angle
NDS 2018 12.1         penetration minima (`nds_placing`)                  pilot holes, spikes, drift bolts
NDS 2018 12.2         12.2.1 lag, 12.2.2 wood screw, 12.2.5 head          nails, staples; wood structural panels
                      pull-through (`nds_withdrawal`); Table L2 thread    (half the value of solid timber is
                      of a lag screw (`fastenings`)                       assumed)
NDS 2018 12.3         12.3.1 A and B, all six single-shear modes;         double shear (12.3-7 to 12.3-10),
                      12.3.3; 12.3.4 Hankinson; 12.3.5.3 bearing length   panels, concrete, gaps between
                      (`nds_lateral`, `nds_placing`)                      members
NDS 2018 12.4         12.4.1 lag and wood screw (`nds_withdrawal`)        12.4.2 nail; head pull-through
                                                                          together with shear
NDS 2018 12.5         Tables 12.5.1A, B, C and E, 12.5.2                  distances for reduced values, rows,
                      (`nds_placing`)                                     stresses in the members at the joint
AWC TR-12             5 % offset yield, Z x R_d (`breaking`)              gaps, hollow members
EN 1995-1-1           7.1 slip (`slip`); 8.1.4 (8.4) splitting            8.1.4 for hardwood; the rest
                      (`en1995`)
Wood Handbook         8-10, 8-14 ultimate withdrawal (`wood_handbook`);   8-15 lag lateral, bolts, moisture
                      ch. 9 beams (`timber`)                              and duration of ch. 5
ASTM D2555, D245      5 % exclusion, adjustment factor, strength ratio    species groups, size, grade rules
                      (`timber`)
CSS Annex 13          4 MSL, 6 CS (`lines`)                               balances, accelerations, rule of thumb
ISO 898-1             9.1.6.1 stress area (`bolts`)                       proof loads
EN 1993-1-8           Table 3.4 tension, shear (`bolts`), both at once    bearing of plates, punching, preload
                      (`verdict.part`)
Gent, Lindley         shape factor, compression (`pads`)                  shear pads, creep, greased faces, discs
====================  ==================================================  ====================================

Allowable (NDS), average ultimate (Wood Handbook) and characteristic (EN 1995) figures are kept in separate
modules and are never mixed. Where a function needs a figure that a code leaves to the case (load duration,
wet service, safety), the caller brings it from the catalogue.
"""
