import { FAULT_KINDS } from '../faults.ts';
import { ROTOR_FAULT_KINDS } from '../rotor-faults.ts';

/** Text of `--help`. */
export const HELP = `Cranks a simulated engine and writes what a pressure sensor would record, as trace CSV.

  npm run --silent simulate -- [options]

Without --out the trace of one cylinder goes to standard output. Same options, same bytes.

Engine
  --layout NAME         inline-4 (default), v6, flat-2, rotary-2 ...; --demo lists ready-made ones
  --demo ID             a ready-made engine instead; "--demo list" prints them
  --fuel FUEL           spark (default) or diesel
  --cycle N             4 (default) or 2
  --bore MM  --stroke MM  --rod MM  --ratio R  --ivc DEG
                        geometry; --ivc: intake closes, degrees after bottom dead centre
  --rpm N  --sag X      cranking speed; share of it lost in 10 s, 0 to 0.5
  --fault KIND[:CYLINDERS[:SEVERITY]]
                        may be given several times; cylinders as 3 or 2+3, severity 0 to 1
                        ${FAULT_KINDS.slice(0, 4).join(', ')},
                        ${FAULT_KINDS.slice(4).join(', ')};
                        of a rotor: ${ROTOR_FAULT_KINDS.join(', ')}, and weak-battery
Capture
  --cylinder N          default 1; with --out: all of them
  --wet                 oil went down the plug hole
  --hose HOSE           check-valve (default) or open
  --hose-cm3 V  --adapter-cm3 V  --hose-leak MM2
  --strokes N           compression strokes, default 7
  --start-deg DEG       piston position, degrees after a top of compression
  --ambient KPA  --temperature C
Sensor
  --rate HZ  --noise KPA  --offset KPA  --resolution KPA  --lag S  --jitter S
  --max KPA  --absolute
  --spikes N  --loss X  --dropout FROM-TO
                        wild samples; share of packets lost; seconds without a link
Output
  --seed N              default 1
  --out DIR             write files there
  --truth               with --out: write truth.json too; without: print it instead of the trace
  --count N             with --out: so many captures of each cylinder, each from another crank angle
  --population N        N cylinders of N mixed engines, with truth.json. Takes --seed, --out,
                        --hose, --rate and --whole (nothing lost or spoilt) and no other option
  --help                print this

Exit status: 0 done; 2 when an option cannot be used, with the reason on standard error.
`;
