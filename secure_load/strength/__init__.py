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
NDS 2018 12.2         12.2.1 lag, 12.2.2 wood screw, 12.2.3 smooth nail,  deformed-shank nails, staples;
                      12.2.5 head pull-through                           tensile strength of the screw itself
                      (`nds_withdrawal`)                                  (see `bolts`)
NDS 2018 12.3         12.3.1 A and B, all six single-shear modes;         double shear (12.3-7 to 12.3-10),
                      12.3.3; 12.3.4 Hankinson; 12.3.5.3 bearing length   panels, concrete, gaps between
                      (`nds_lateral`)                                     members
NDS 2018 12.4         12.4.1 lag and wood screw, 12.4.2 nail              head pull-through together with
                      (`nds_withdrawal`)                                  shear
NDS 2018 12.5         Tables 12.5.1A to E, 12.5.2                        distances for reduced values,
                      `nds_placing`)                                      stresses in the members at the joint
AWC TR-12             5 % offset yield, Z x R_d (`breaking`)              gaps, hollow members
EN 1995-1-1           7.1 slip (`slip`); 8.1.4 (8.4) splitting,           8.2.3 steel to timber, rope effect,
                      8.2.2 (8.6) without rope effect, 8.7.2 (8.38 to     group effect; 8.1.4 for hardwood
                      8.40) (`en1995`)
Wood Handbook         ch. 4 specific gravity; 8-1, 8-10, 8-14 ultimate    8-15 lag lateral, bolts, moisture
                      withdrawal (`wood_handbook`); ch. 9 beams           and duration of ch. 5
                      (`timber`)
ASTM D2555, D245      5 % exclusion, adjustment factor, strength ratio    species groups, size, grade rules
                      (`timber`)
CTU Code annex 7      battens (`timber`), dynamic friction, inclination   lashing tables, bedding, air bags
                      (`balances`)
CSS Annex 13          4 MSL, 6 CS (`lines`); 7.1 force, 7.2.1 sliding,    basic acceleration tables, wind and
                      7.2.2 tipping, f-value, speed factor (`balances`)   sea areas, longitudinal balance,
                                                                          rule of thumb
EN 12195-1:2010       top-over sliding, direct lashing (memory),          lashings against tilting, spring
                      blocking, tilting of a free load (`balances`)       lashing, dynamic tests
EN 12195-2            LC from breaking strengths (memory, `lines`)        hand force, stretch, marking
EN 12385-2, API 9A    breaking force K d^2 R (`lines`)                    terminations (the caller's)
ISO 898-1             9.1.6.1 stress area (`bolts`)                       proof loads
EN 1993-1-8           Table 3.4 tension, shear, both at once (`bolts`)    bearing of plates, punching, preload
33 CFR, ISO 10133     183.420(a); 5.2 battery pulls (`rules`)             trays, vents, terminals
49 CFR 393            102 forces, 106(d) half the weight (`rules`)        number of tie-downs, commodity rules
14 CFR 25.561         (b)(3), (c)(2) items of mass (`rules`)              the rest
MIL-STD-209K          table I limit loads, appendix C share (`rules`)     slings, geometry, proof tests
Gent, Lindley         shape factor, compression, hardness (`pads`)        shear pads, creep, greased faces
====================  ==================================================  ====================================

Allowable (NDS), average ultimate (Wood Handbook) and characteristic (EN 1995) figures are kept in separate
modules and are never mixed. Where a function needs a figure that a code leaves to the case (load duration,
wet service, safety), the caller brings it from the catalogue.
"""
