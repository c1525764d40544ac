/** Sentences that verdicts were stored with, word for word, and the messages that say the same now. */
export const SENTENCES_OF_VERDICTS: Readonly<Record<string, string>> = {
  'Never open a hot system: engine off, stood until the upper hose is cool to the hand; cap eased to its first stop under a rag.':
    'caution-hot-system',
  'Before hands go in: key out, brake on, wheels chocked, articulation locked.': 'caution-secured',
  'Never add cold coolant to a hot engine.': 'caution-cold-into-hot',
  'Coolant is poisonous to people and animals: catch it, keep it from drains, and dispose of it by local rules.':
    'caution-poison',
  'Wear eye and hand protection.': 'caution-protection',
  'Support a raised vehicle on stands before working under it.': 'caution-stands',
  'Keep clear of belts and fans: an electric fan can start with the engine off.': 'caution-moving-parts',
  'Never run an engine indoors without a hose that leads the exhaust outside: exhaust gas kills.':
    'caution-exhaust',
  'Timing belt: set the timing marks before it comes off. A pump that it drives is renewed with it.':
    'caution-timing-belt',
  "Never exceed the cap's rating when pressure testing.": 'caution-cap-rating',
  "Torque values, procedures and coolant types come from the vehicle maker's service information; have the work done by qualified or licensed people where local rules ask for it.":
    'caution-maker',
  "Intervals come from the vehicle maker's service information, and the harder of two duties is the safer to plan by.":
    'caution-intervals',
  'A projected date is an estimate: a leak, a warning lamp or a noise does not wait for it.':
    'caution-estimate',
  'rate of loss against the allowed rate; u = resolution/√12 and reader/√12 per reading, and what the temperature may have done (JCGM 100); guard band of 2 u for a pass, 1.645 u for a fail (JCGM 106)':
    'basis-hold-test-rate',
  'temperature correction: ideal gas for the air, vapour pressure for the coolant':
    'basis-hold-test-temperature-correction',
  'simple acceptance (ILAC-G8): the gauge is too coarse for a guard band':
    'basis-hold-test-simple-acceptance',
  'leak rate Q = V·Δp/Δt, indicative: hoses flex': 'basis-leak-rate',
  'at sea level (no elevation is known)': 'place-at-sea-level-assumed',
  'no barometer reading or elevation is known: sea level assumed, U.S. Standard Atmosphere 1976':
    'basis-air-assumed-sea-level',
  'Worn by the gauge: replace the belt.': 'belt-worn',
  'Ribs not seated in their grooves.': 'belt-ribs-not-seated',
  'Oil or coolant on the belt: find where it comes from, then replace the belt.': 'belt-contaminated',
  'Nothing was checked: look at ribs, alignment and wear.': 'belt-nothing-checked',
  'The belt is as it should be, as far as it was checked.': 'belt-good',
  'A negative slip is a wrong reading: are the two speeds or diameters swapped?': 'belt-slip-negative',
  'The vacuum valve is stuck: hoses collapse or coolant is not drawn back. Replace the cap.':
    'cap-vacuum-valve-stuck',
  'The cap holds and opens as rated.': 'cap-as-rated',
  "The cap's rating is not known: give it on the spec sheet.": 'cap-rating-unknown',
  'a positive test fails, one negative excludes nothing (common practice)': 'basis-combustion-gas',
  'level by its marks: below MIN fails, between them and at MAX pass (common practice)':
    'basis-level-by-marks',
  'Below MIN. Let the engine cool, top up to MAX and note how much, then look for the leak.':
    'level-below-min',
  'Above the mark: draw it down.': 'level-above-mark',
  'Between MIN and MAX.': 'level-between-marks',
  'At MAX.': 'level-at-max',
  'A leak was seen. Find and repair it.': 'warm-up-leak',
  'A warning lamp came on. Find out why before the vehicle goes out.': 'road-test-lamp',
  'Nobody looked for leaks. Look underneath while the engine is warm.': 'road-test-leak-not-looked-for',
  'no boiling point: strength or cap rating is not known': 'basis-road-test-no-boiling-point',
  "too hot from the alarm up (the spec sheet's)": 'basis-road-test-alarm',
  'A leak was seen: find and repair it.': 'warm-up-leak',
  'Whether it leaks was not looked at: look while it is warm.': 'warm-up-leak-not-looked-for',
  'The thermostat did not open: run the engine until it does, or replace it.': 'warm-up-thermostat-shut',
  'The level was below the mark when cold: top up, and look for the loss if it sinks again.':
    'warm-up-level-sank',
  'The level was not read with the engine cold again: read it after cooling.': 'warm-up-level-not-read',
  'The level was above the mark when cold: draw it down to the mark.': 'warm-up-level-above-mark',
  'warm-up: thermostat open, heat where fitted, temperature steady, level at the mark when cold (common practice)':
    'basis-warm-up',
  'CRC Handbook of Chemistry and Physics, 102nd edition, refractive index of ethylene glycol and water at 20 °C, linear interpolation':
    'basis-refraction-table',
  'Tap water went in, which is for an emergency only: its minerals scale and its chloride corrodes. Replace the coolant at the next service.':
    'coolant-tap-water',
  'Oil in the coolant. Find where it gets in before refilling: oil cooler first, then head gasket.':
    'coolant-oily',
  'Rust in the coolant. Flush the system and fill it anew.': 'coolant-rusty',
  'Particles in the coolant. Flush the system and fill it anew.': 'coolant-particles',
  'Cloudy. Let a sample settle, or send it to a laboratory.': 'coolant-cloudy',
  'The coolant is within its limits.': 'coolant-within-limits',
  'Nothing here has a limit to judge it by: give limits on the spec sheet.': 'coolant-nothing-judged',
  'appearance (common practice); colour is never evidence': 'basis-coolant-appearance',
  'reserve alkalinity by ASTM D1121': 'basis-reserve-alkalinity',
  'pH below 7 is acid and fails in any coolant (common practice)': 'basis-coolant-acid',
  'nitrite with molybdate, as ASTM D6210 has it for new coolant (from memory)':
    'basis-nitrite-with-molybdate',
  'Strips for organic acids read nothing in conventional (IAT) coolant. Use an SCA or nitrite strip.':
    'test-strip-for-organic-acid',
  'least and most torque from the spec sheet': 'basis-torque-limits-of-sheet',
  'give each torque, or setTo with the count of fasteners tightened to it': 'torque-set-empty',
  'x = V·(C_t - C_0)/(C_r - C_0), strengths by volume, volumes taken as additive': 'basis-drain-and-replace',
  'How much was drained is not known, so trapped air cannot be told: give drained.': 'fill-drained-not-known',
  'It came in low and the drainable volume is not on the spec sheet, so what should have gone in is not known.':
    'fill-came-in-low',
  'The freeze point of this job was read before this was poured in: read it again.':
    'freeze-point-read-too-soon',
  'shortfall = what came out - what went in': 'basis-shortfall',
  'Stop; let it cool until the upper hose is cool to the hand': 'step-cool-down',
  'Warm up until the thermostat opens and the heater is hot; fan comes on where fitted, temperature steady, no leak':
    'step-warm-up',
  'Cold, read the strength': 'step-read-strength',
  'Cold, top up to the mark, and note how much': 'step-top-up',
  'There is no limit to judge one top-up by; whether they repeat is watched.': 'top-up-not-judged',
  'C = (C_0·(V - a) + C_r·a)/V, strengths by volume, topped up to the mark': 'basis-top-up-strength',
  'Water weakens the coolant: check the freeze point at once.': 'top-up-water-weakens',
  'the loss allowed is reduced with the air pressure as the target is (choked flow)':
    'basis-hold-test-choked-flow',
  'Both ethylene and propylene glycol are or may be in the system: no scale reads a mixture of bases. Flush the system, refill it and read it again.':
    'freeze-point-mixed-bases',
  'The strength is not known.': 'strength-not-known',
  'No lowest temperature is known for this vehicle or its depot, so the protection itself was not judged.':
    'freeze-point-no-low-temperature',
  'the belt is renewed, or passes a full check': 'settled-by-belt-check',
  'the leak into the coolant is found and mended, and the test is clear': 'settled-by-combustion-gas',
  'it passes a pressure test': 'settled-by-pressure-test',
  'it passes a hold test': 'settled-by-vacuum-test',
  'it is filled up; a cold level at or between the marks, at least 4 hours after filling up, settles it (record that the engine was cold)':
    'settled-by-level-check',
  'what it found is mended and a road test passes': 'settled-by-road-test',
  'the fasteners are tightened to the sheet and checked again': 'settled-by-torque-check',
  'what it found is mended and a warm-up check passes': 'settled-by-warm-up-check',
  'The tensioner is out of its range: check belt length and tensioner.': 'belt-tensioner-out-of-range',
  'What it holds was not read: read the pressure that stays after it has closed.': 'cap-hold-not-read',
  'Where it opens was not read: pump until it opens.': 'cap-opening-not-read',
  'Combustion gas is in the coolant: park it. Then check head gasket, head, liners, EGR cooler and injector sleeves.':
    'combustion-gas-found',
  'Whether a warning lamp came on is missing. Drive again and watch for it.': 'road-test-lamp-not-said',
  'No heat at the vents: air is trapped, or the coolant is low, or the heater core is blocked.':
    'warm-up-no-heat',
  'The temperature did not settle: air is trapped, or the flow is poor.': 'warm-up-not-steady',
  'The fan did not come on. Check fan, relay and sensor; on a viscous fan the clutch, which roars when it engages.':
    'warm-up-no-fan',
  'The thermostat was not seen to open: run the engine until both hoses are warm.':
    'warm-up-thermostat-not-seen',
  'The temperature was not watched: run the engine until it is steady.': 'warm-up-temperature-not-watched',
  'Warmed up and cooled down without a leak, with the level held.': 'warm-up-passed',
};
