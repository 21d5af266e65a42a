/** Texts of the preparation: questions, cautions with their reasons, conditions. Part of `../en.ts`. */
import type { Answer } from '../../safety/cautions.ts';

export const prepareWords = {
  prepare: {
    title: 'Before you crank',
    lead: 'Tick what is done. The ones in bold can hurt you or the engine.',
    questions: 'This engine',
    questionsHint: 'The list below follows your answers.',
    question: { fuelSystem: 'Fuel', highVoltage: 'Hybrid or high voltage', belts: 'Belts and fan' },
    answer: {
      injected: 'Injected',
      carburettor: 'Carburettor',
      'no-high-voltage': 'None',
      'has-high-voltage': 'Yes',
      belts: 'In the open',
      'no-belts': 'None, or covered',
    } satisfies Readonly<Record<Answer, string>>,
    groupSafe: 'Safe',
    groupReady: 'Ready',
    groupRig: 'Hose and sensor',
    law: 'The engine’s manual, local codes and licensed practice come first.',
    conditions: 'Conditions',
    conditionsHint:
      'What you know. At altitude every reading is lower. Barometer: the pressure here, not the sea-level figure of a weather report.',
    altitude: 'Altitude',
    barometer: 'Barometer',
    oilTemperature: 'Oil temperature',
    fromAltitude: 'A standard day at that height has {kpa:barometer}; readings are corrected by it.',
    barometerWins: 'Your barometer is used; the altitude is only noted.',
    airUnknown: 'Without altitude or barometer, nothing is corrected for altitude.',
    battery: 'Battery before',
    batteryTitle: 'Battery',
    batteryAfter: 'Battery after',
    batteryAfterHint:
      'Measured at rest, once the last cylinder is done. A weak battery makes the later ones read low.',
    batteryFell: 'It fell by {fellV:1} V. Later cylinders may have been cranked slower: look at the rpm.',
    odometer: 'Odometer',
    hours: 'Running hours',
    go: 'Go to the engine',
    left: '{n:0} {n:plural caution|cautions} not ticked',
    altitudeRange: 'Altitudes lie between {low:altitude} and {high:altitude}.',
    barometerRange: 'Between {low:barometer} and {high:barometer}, at the engine.',
    temperatureRange: 'Between {low:temperature} and {high:temperature}.',
    voltsRange: 'Between 4 and 60 V.',
    notNegative: 'This cannot be below zero.',
  },

  caution: {
    'read-manual': {
      what: 'The engine’s own manual at hand',
      why: 'Its steps and figures win over anything you read here.',
    },
    'high-voltage': {
      what: 'No hybrid, or its high voltage made safe by a licensed person',
      why: 'A hybrid can start its engine by itself, and its wiring can kill.',
    },
    'high-voltage-safe': {
      what: 'High voltage made safe by a licensed person',
      why: 'Its wiring can kill, also with the ignition off, and the engine can start by itself.',
    },
    'high-voltage-cranking': {
      what: 'A way to crank it that the manual gives',
      why: 'Many hybrids have no starter that the key turns; the drive motor cranks only in a service mode.',
    },
    'fuel-off': {
      what: 'Fuel shut off, fuel pressure released',
      why: 'Cranking blows fuel out of open plug holes, and its vapour burns. Good air, no flame, extinguisher near.',
    },
    'fuel-off-injected': {
      what: 'Fuel pump off, rail pressure released',
      why: 'The rail stays under pressure for hours and sprays when opened; vapour at the holes burns. Good air, no flame, extinguisher near.',
    },
    'fuel-off-carburettor': {
      what: 'Fuel tap shut or line closed, float bowl run dry or drained',
      why: 'What is left in the bowl is sucked in, blown out of the holes, and burns. Good air, no flame, extinguisher near.',
    },
    'ignition-off': {
      what: 'Ignition disabled, leads made safe',
      why: 'A stray spark lights vapour; the voltage can injure you and ruin a coil.',
    },
    'injectors-off': {
      what: 'Injectors unplugged or their fuse out',
      why: 'They would spray fuel into cylinders that blow it out at you, and wash the oil off the bores.',
    },
    'injection-off': {
      what: 'Fuel injection disabled',
      why: 'Diesel leaves an injector at a pressure that pierces skin, and the engine may start.',
    },
    'glow-plugs-off': {
      what: 'Glow plugs switched off',
      why: 'A glowing plug lights mist from the holes, and its bare lead shorts to the engine.',
    },
    'no-oil': {
      what: 'No oil into any cylinder',
      why: 'A diesel can lock on it or burn it and run away. There is no wet test on a diesel.',
    },
    'no-gear': {
      what: 'Out of gear, brake on, wheels chocked',
      why: 'In gear, a cranked engine drives off.',
    },
    'belts-clear': {
      what: 'Hands, hair and leads clear of belts and fan',
      why: 'They turn as soon as the starter does. An electric fan can start at any time.',
    },
    'parts-clear': {
      what: 'Hands, hair and leads clear of everything that turns',
      why: 'Flywheel, propeller or kick starter move as soon as the engine is cranked.',
    },
    'engine-warm': {
      what: 'Engine warm, not burning hot',
      why: 'Cold oil and rings change the reading. Hot metal burns, and threads in a hot head strip.',
    },
    'plugs-out': {
      what: 'All spark plugs out',
      why: 'With plugs in, the starter turns slower and reads low.',
    },
    'injectors-out': {
      what: 'All glow plugs or all injectors out, as the manual says',
      why: 'Otherwise the starter turns slower and every cylinder reads low.',
    },
    'holes-clean': {
      what: 'Plug holes blown clean, faces away from them',
      why: 'Grit falls in and scores the bore. What is inside comes out fast when you crank.',
    },
    'throttle-open': {
      what: 'Throttle blocked fully open',
      why: 'A closed throttle starves the cylinders, and all read low alike. Take the block out afterwards.',
    },
    'choke-open': {
      what: 'Choke fully open',
      why: 'A closed choke starves the cylinders as a closed throttle does.',
    },
    'battery-strong': {
      what: 'Battery charged, or a booster on',
      why: 'Slow cranking reads low. Batteries give off gas that explodes: no sparks at the posts.',
    },
    'adapter-fits': {
      what: 'Adapter thread right, and too short to meet piston or valve',
      why: 'A long adapter is struck by the piston; a wrong thread can be shot out.',
    },
    'release-automatic': {
      what: 'Automatic compression release: leave it as it is',
      why: 'It works while you crank and lowers the reading. Only earlier tests of this engine, and the manual, compare.',
    },
    'release-by-hand': {
      what: 'Compression release shut while you crank',
      why: 'Open, it lowers the reading. Shut it in the same way for each test.',
    },
    'rotor-hose': {
      what: 'Open hose, in the plug hole that the manual names',
      why: 'A check valve keeps only the highest of a rotor’s three faces. Leading and trailing holes read differently.',
    },
    'hose-rated': {
      what: 'Hose and sensor rated for the pressure',
      why: 'Petrol engines reach up to about {petrolKpa:pressure}. A hose that bursts whips.',
    },
    'hose-rated-diesel': {
      what: 'Hose, adapter and sensor made for diesel pressures',
      why: 'Diesels reach {dieselKpa:pressure} and more, far beyond a petrol gauge. A hose that bursts whips.',
    },
  },
};
