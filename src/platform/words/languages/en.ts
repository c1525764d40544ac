import type { LanguageFile } from '../language-file.js';

/**
 * English. Each message says what is wrong and then what to do, in plain words
 * (`docs/glossary.md`). Values stand in braces, in ICU MessageFormat.
 */
export const ENGLISH: LanguageFile = {
  locale: 'en-US',
  name: 'English',
  messages: {
    // legacy
    // quantities
    // atmosphere
    // pressure
    'hold-test-held':
      'Held: {outcome, select, lost {it lost {amount}} gained {it gained {amount}} other {it lost nothing}} in {minutes, plural, one {# minute} other {# minutes}}{corrected, select, yes { after allowing for the change in temperature} other {}}.{outcome, select, lost { Allowed: {allowed} in {allowedMinutes, plural, one {# minute} other {# minutes}}.} other {}}',
    'hold-test-lost-too-much':
      '{outcome, select, lost {It lost {amount}} gained {It gained {amount}} other {It lost nothing}} in {minutes, plural, one {# minute} other {# minutes}}{corrected, select, yes { after allowing for the change in temperature} other {}}.{outcome, select, lost { Allowed: {allowed} in {allowedMinutes, plural, one {# minute} other {# minutes}}.} other {}} Find the leak, fix it, and repeat the test.',
    'hold-test-too-close':
      'Too close to tell: {outcome, select, lost {it lost {amount}} gained {it gained {amount}} other {it lost nothing}} in {minutes, plural, one {# minute} other {# minutes}}{corrected, select, yes { after allowing for the change in temperature} other {}}.{outcome, select, lost { Allowed: {allowed} in {allowedMinutes, plural, one {# minute} other {# minutes}}.} other {}}',
    'hold-test-right-at-limit': 'The loss is right at the limit. Use a finer gauge and hold it longer.',
    'hold-test-settled-by-longer':
      'To settle it, hold it for {minutes, plural, one {# minute} other {# minutes}}.',
    'hold-test-settled-by-longer-or-finer':
      'To settle it, hold it for {minutes, plural, one {# minute} other {# minutes}}, or use a gauge that reads to {division}.',
    'hold-test-no-target':
      'No target is known for this test, so the starting {method, select, vacuum {vacuum} other {pressure}} was not judged.',
    'hold-test-nothing-tested':
      'This tested nothing: it started at {start}, which is no more than it may lose. Start with more {method, select, vacuum {vacuum} other {pressure}} and repeat.',
    'hold-test-too-short':
      'Held {held, number} of {needed, plural, one {# minute} other {# minutes}}. Hold it for {needed, plural, one {# minute} other {# minutes}}.',
    'hold-test-grew':
      'The {method, select, vacuum {vacuum} other {pressure}} grew by {gain}. That does not happen at a steady temperature. Let it settle, read both temperatures, and repeat.',
    'hold-test-boiled':
      'The vacuum was deep enough to boil the coolant, which looks like a leak. Let it cool, or stay under {deepest}.',
    'hold-test-started-short':
      'Started at {start}, short of the {target} needed {method, select, vacuum {at this elevation} other {here}}. {method, select, vacuum {Pull} other {Pump up to}} {target} and repeat.',
    'hold-test-was-it-other-unit': 'Was it {meant}?',
    'hold-test-too-hot':
      'The coolant was at {coolant}. {method, select, vacuum {An engine that cools down hides a leak.} other {A change in temperature moves the pressure.}} Let it cool, then repeat below {limit}.',
    'hold-test-temperature-changed':
      'The temperature changed by {change} during the test, which can hide a leak. Let it cool, then repeat.',
    'hold-test-warm':
      'The engine was warm. {method, select, vacuum {An engine that cools down hides a leak.} other {A change in temperature moves the pressure.}} Let it cool, then repeat.',
    'hold-test-maybe-warm':
      'The report does not say that the engine was cold. {method, select, vacuum {An engine that cools down hides a leak.} other {A change in temperature moves the pressure.}} If it was cold, say so (engineCold). If not, let it cool and repeat.',
    'hold-test-maybe-warm-or-dry':
      'The report does not say that the engine was cold. An engine that cools down hides a leak. If it was cold, say so (engineCold). If the system was drained and dry, say wet: false. If neither, let it cool and repeat.',
    'hold-test-over-pressured':
      'Over-pressured: {highest} is above the {limit} that this system may be tested at. Inspect the radiator, heater core and hoses.',
    'hold-test-coarse-gauge':
      'Coarse gauge: its uncertainty of {uncertainty} is as large as the allowed loss of {allowed}.',
    'basis-hold-test-rate':
      'rate of loss against the allowed rate; u = resolution/√12 and reader/√12 per reading, and what the temperature may have done (JCGM 100); guard band of 2 u for a pass, 1.645 u for a fail (JCGM 106)',
    'basis-hold-test-temperature-correction':
      'temperature correction: ideal gas for the air, vapour pressure for the coolant',
    'basis-hold-test-simple-acceptance':
      'simple acceptance (ILAC-G8): the gauge is too coarse for a guard band',
    'basis-leak-rate': 'leak rate Q = V·Δp/Δt, indicative only: hoses flex',
    // cautions
    'caution-hot-system':
      'Never open a hot system. Engine off; wait until the upper hose is cool to the hand. Cover the cap with a rag and ease it to its first stop.',
    'caution-secured': 'Before hands go in: key out, brake on, wheels chocked, articulation locked.',
    'caution-cold-into-hot': 'Never add cold coolant to a hot engine.',
    'caution-poison':
      'Coolant is poisonous to people and animals. Catch it, keep it out of drains, and dispose of it by local rules.',
    'caution-protection': 'Wear eye and hand protection.',
    'caution-stands': 'Support a raised vehicle on stands before working under it.',
    'caution-moving-parts': 'Keep clear of belts and fans. An electric fan can start with the engine off.',
    'caution-exhaust':
      'Never run an engine indoors without a hose that leads the exhaust outside. Exhaust gas kills.',
    'caution-timing-belt':
      'Timing belt: set the timing marks before it comes off. Replace a pump that it drives along with it.',
    'caution-cap-rating': "Never go above the cap's rating when you pressure test.",
    'caution-maker':
      "Torque values, procedures and coolant types come from the vehicle maker's service information. Have the work done by qualified or licensed people where local rules ask for it.",
    'caution-intervals':
      "Intervals come from the vehicle maker's service information. Where two duties are possible, plan by the harder one.",
    'caution-estimate':
      'A projected date is an estimate. A leak, a warning lamp or a noise does not wait for it.',
    // calendar
    // vehicles
    // checks
    // belt
    // fastening
    // coolant
    'ethylene-glycol': 'ethylene glycol',
    'propylene-glycol': 'propylene glycol',
    'mixing-water': 'demineralised or distilled water',
    // coolant-condition
    // strength
    // filling
    // evaluation
    // readings
    // follow-ups
    // conclusions
    // intervals
    'component-coolant': 'coolant',
    'component-water-pump': 'water pump',
    'component-drive-belt': 'drive belt',
    'component-tensioner': 'tensioner',
    'component-idler': 'idler',
    'component-thermostat': 'thermostat',
    'component-radiator': 'radiator',
    'component-radiator-cap': 'radiator cap',
    'component-upper-hose': 'upper hose',
    'component-lower-hose': 'lower hose',
    'component-heater-hose': 'heater hose',
    'component-bypass-hose': 'bypass hose',
    'component-hose-clamp': 'hose clamp',
    'component-fan-drive': 'fan drive',
    'component-fan-shroud': 'fan shroud',
    'component-reservoir': 'reservoir',
    'component-heater-core': 'heater core',
    'component-coolant-filter': 'coolant filter',
    'component-oil-cooler': 'oil cooler',
    'component-egr-cooler': 'EGR cooler',
    'component-head-gasket': 'head gasket',
    'component-injector-sleeve': 'injector sleeve',
    'component-timing-belt': 'timing belt',
    'component-temperature-sensor': 'temperature sensor',
    'component-other': 'other part',
    'action-inspect': 'inspect',
    'action-test': 'test',
    'action-adjust': 'adjust',
    'action-clean': 'clean',
    'action-flush': 'flush',
    'action-replace': 'replace',
    'action-recheck': 'recheck',
    'part-with-item': '{component} ({item})',
    'work-on-part': '{part}: {action}',
    // usage
    // loss
    // reliability
    // visits
    // job-card
    // statistics
    // job-card-page
    // calendar-feed
    // mail
    // reminders
    // due-list
    // loss-alerts
    // interval-advice
    // visit-plans
    // job-reports
    // imports
    // attachments
    // spec-sheets
    // interval-plans
    // vehicles-register
    // depots
    // fleets
    // tokens
    // audit
    // access
    // problems
    // fields
    // http
    // csv
    // queue
    // commands
    // board
  },
};
