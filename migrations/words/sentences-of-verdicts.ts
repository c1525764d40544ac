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
  'The loss is right at the limit: use a finer gauge and hold it longer.': 'hold-test-right-at-limit',
  'rate of loss against the allowed rate; u = resolution/√12 and reader/√12 per reading, and what the temperature may have done (JCGM 100); guard band of 2 u for a pass, 1.645 u for a fail (JCGM 106)':
    'basis-hold-test-rate',
  'temperature correction: ideal gas for the air, vapour pressure for the coolant':
    'basis-hold-test-temperature-correction',
  'simple acceptance (ILAC-G8): the gauge is too coarse for a guard band':
    'basis-hold-test-simple-acceptance',
  'leak rate Q = V·Δp/Δt, indicative: hoses flex': 'basis-leak-rate',
};
