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
    'quantity-less-than': 'less than {amount}',
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
    'card-no-spec-sheet': "This vehicle has no spec sheet. Take parts, torques, coolant, hold test and belts from the vehicle maker's information.",
    'card-no-elevation': 'No elevation is known, so sea level is assumed. Higher up, the vacuum to pull is lower and coolant boils sooner.',
    'card-no-hold-test-procedure': 'The spec sheet has no hold-test procedure, so common practice is given.',
    'card-no-vacuum-target': "The spec sheet has no target for the vacuum. Take it from the vehicle maker's information.",
    'card-no-pressure-target': "Neither a cap rating nor a test pressure is known. Take it from the vehicle maker's information.",
    'card-target-too-high': 'The spec sheet asks for {target}, above the {limit} that this system may be tested at. Do not test at it. Correct the sheet.',
    'card-no-target-strength': 'The spec sheet has no target strength, so {percent, number} % is taken (common practice).',
    'card-no-technology': "The spec sheet does not name the coolant's technology. Colour does not tell it: ask the vehicle maker.",
    'card-no-drainable-volume': 'The spec sheet does not say how much drains out. Bring enough for the whole system, measure what comes out, and pour in as much.',
    'card-no-strength': 'The strength is not known. Read it first, then work out what to drain and replace.',
    'card-drains-too-little': '{amount} of the coolant must be replaced, more than drains out at once. Drain and fill twice, and run the engine in between.',
    'card-coolant-impossible': 'Coolant: {why}',
    'card-no-additive-bottle': 'The coolant lacks additive, and the spec sheet names no bottle. Take the dose from the label, for the capacity on this card.',
    'card-no-cap-rating': 'The spec sheet has no cap rating, so where the coolant boils under the cap is not known.',
    'card-no-boiling-point': 'Boiling point: {why}',
    'card-no-belt-designation': "The spec sheet lacks a belt's designation. Read it off the old belt, or get it from the maker.",
    'card-belt-unreadable': 'Belt {belt}: {why}',
    'card-no-part': 'The spec sheet has no part for: {parts}.',
    'card-no-torque': "The spec sheet has no fastener torques for: {parts}. Take them from the vehicle maker's information.",
    'card-pour-spare': 'In case what came out is not clean enough to pour back: {concentrate} of concentrate mixed with {water} of demineralised or distilled water.',
    'card-pour-after-flush': 'Water stays in the system after a flush. Pour in neat concentrate first, all {concentrate}, then fill up with demineralised or distilled water.',
    'card-pour-mixed': 'Mix before pouring: {concentrate} of concentrate with {water} of demineralised or distilled water.',
    'card-additive': '{amount} of {product}',
    'card-additive-unnamed': '{amount} of additive',
    'card-belt-routing': "By the vehicle maker's diagram, which is not kept here.",
    'step-cool': 'Engine off. Wait until the upper hose is cool to the hand, below about {limit}. Ease the cap to its first stop under a rag.',
    'step-inspect': 'Inspect: {parts}',
    'step-test': 'Test: {parts}',
    'step-gas-test': 'Combustion-gas test: with the engine cold, lower the level so that the tester draws in no coolant, and fit it. Then warm the engine up. If the fluid changes colour, park the vehicle.',
    'step-gas-proof': 'Combustion-gas test: with the engine cold, lower the level so that the tester draws in no coolant, and fit it. Then run the engine hot and under load. A negative test closes the finding. If the fluid changes colour, park the vehicle. Let it cool before the tester comes off.',
    'step-read-strength-first': 'Read the strength of a mixed sample, on a scale for its base',
    'step-read-level': 'Read the level with the engine cold, before adding anything',
    'step-drain': 'Drain the coolant. Catch and measure it',
    'step-drain-about': 'Drain the coolant. Catch and measure it: about {amount}',
    'step-drain-some': 'Drain to just below the part. Catch it clean, to pour it back',
    'step-drain-some-about': 'Drain to just below the part. Catch it clean, to pour it back: about {amount}',
    'step-clean': 'Clean: {parts}',
    'step-flush': 'Flush with water until it runs clear. Rinse last with demineralised or distilled water. Tap water only in an emergency, and say so in the report.',
    'step-flush-parts': 'Flush with water until it runs clear: {parts}. Rinse last with demineralised or distilled water. Tap water only in an emergency, and say so in the report.',
    'step-remove': 'Remove: {parts}',
    'step-remove-timed': 'Set the engine on its timing marks. Remove: {parts}',
    'step-remove-filter': 'Close both shut-off valves of the coolant filter. If it has none, drain to below it first. Remove: {parts}',
    'step-fit-part': "Fit new: {part}{then, select, timing {. Turn the engine twice by hand and check the timing marks} filter {. Open the filter's shut-off valves again} other {}}",
    'step-fit-parts': "Fit the new parts, seats clean, seals new{then, select, timing {. Turn the engine twice by hand and check the timing marks} filter {. Open the filter's shut-off valves again} other {}}",
    'step-adjust': 'Adjust: {parts}',
    'step-tighten-fasteners': 'Tighten the fasteners of: {parts}',
    'step-torque': 'Tighten to the torques on this card{turned, select, yes {, then by the angle given} other {}}',
    'step-torque-by-maker': "Tighten by the vehicle maker's information",
    'step-belt': "Belt: every rib seated, pulleys in line within 0.33°, tensioner in range. Route it by the vehicle maker's diagram.",
    'step-hold-test': 'Hold test by {method, select, vacuum {vacuum} other {pressure}}, engine cold. {method, select, vacuum {Pull} other {Pump up to}} {target}, close the valve, wait {minutes, number} min. It may drop {loss}.',
    'step-hold-test-no-target': "Hold test by {method, select, vacuum {vacuum} other {pressure}}, engine cold. {method, select, vacuum {Pull the vacuum} other {Pump up to the pressure}} that the vehicle maker's information gives, close the valve, wait {minutes, number} min. It may drop {loss}.",
    'step-hold-test-by-maker': "Hold test by the vehicle maker's information",
    'step-proof-test': 'Coolant was being lost. Hold test by {method, select, vacuum {vacuum} other {pressure}}, filled and cold. {method, select, vacuum {Pull} other {Pump up to}} {target}, close the valve, wait {minutes, number} min. It may drop {loss}.',
    'step-proof-test-no-target': "Coolant was being lost. Hold test by {method, select, vacuum {vacuum} other {pressure}}, filled and cold. {method, select, vacuum {Pull the vacuum} other {Pump up to the pressure}} that the vehicle maker's information gives, close the valve, wait {minutes, number} min. It may drop {loss}.",
    'step-fill-by-maker': "Fill with the coolant that the vehicle maker's information names",
    'step-fill-flushed': 'Fill: {concentrate} of neat concentrate first, then up to {water} of demineralised or distilled water',
    'step-fill-caught': 'Fill up to the mark with what was caught clean',
    'step-fill-caught-or-premix': 'Fill up to the mark with what was caught clean, else with {premix} of premix at {percent, number} %',
    'step-fill-mixed': 'Fill: {concentrate} of concentrate mixed with {water} of demineralised or distilled water',
    'step-fill-mixed-or-premix': 'Fill: {concentrate} of concentrate mixed with {water} of demineralised or distilled water, or {premix} of premix at {percent, number} %',
    'step-adjust-strength': 'Drain {amount} and pour in as much {pour, select, concentrate {neat concentrate} other {demineralised or distilled water}}, to come to {percent, number} %',
    'step-adjust-strength-unknown': 'Bring the strength to the target: work out from the reading what to drain and replace',
    'step-dose': 'Add {amount} of {product}',
    'step-dose-unnamed': 'Add {amount} of additive',
    'step-dose-by-label': 'Add additive as its label says, for the capacity on this card',
    'step-top-up-same': 'Top up to the mark with the same coolant, and note how much',
    'step-road-test': '{by, select, driven {Road test} other {Run it under load}}: temperature steady, no warning lamp, no leak, no belt noise',
    'step-recheck': 'Recheck the level, cold, after the first {by, select, driven {drive} other {run}}: within {days, plural, one {# day} other {# days}} or {limit}',
    'step-recheck-days': 'Recheck the level, cold, after the first {by, select, driven {drive} other {run}}: within {days, plural, one {# day} other {# days}}',
    'basis-card-pour': 'concentrate and water: conservation of volume, volumes taken as additive; strengths in volume %',
    'basis-card-share': 'about {percent, number} % of what drains comes out for this work (common practice)',
    'basis-card-stays-at-target': 'what stays in block and heater is taken to be at the target, {percent, number} %: its strength is not known',
    'basis-card-stays-at-known': 'what stays in block and heater is at {percent, number} %, the latest strength known',
    'basis-card-boiling': "boiling: Raoult's law with the saturation line of water (IAPWS-IF97); {volumePercent, number} volume % = {massPercent, number} mass %; good to ±{uncertainty}",
    'basis-card-dose': 'dose: from {from, number} to {to, number} (the middle of the limits, or a quarter above the least; common practice), by what the bottle raises',
    'basis-card-torque-tolerance': 'torque tolerance ±{percent, number} % where the spec sheet has none (common practice)',
    // statistics
    // job-card-page
    'reading-hold-test': 'hold test',
    'reading-freeze-point': 'freeze point',
    'reading-torque-set': 'torques',
    'reading-fill': 'fill',
    'reading-warm-up-check': 'warm-up check',
    'reading-belt-check': 'belt check',
    'reading-level-check': 'level check',
    'reading-top-up': 'top-up',
    'reading-coolant-condition': 'coolant condition',
    'reading-cap-test': 'cap test',
    'reading-combustion-gas-test': 'combustion-gas test',
    'reading-road-test': 'road test',
    'alert-repeat-top-ups': 'repeat top-ups',
    'alert-rising-loss': 'rising loss',
    'alert-unrecorded-water': 'unrecorded water',
    'alert-weakening-hold': 'weakening hold',
    'alert-early-return': 'early return',
    'alert-part-cohort': 'bad part batch',
    'card-page-title': 'Job card {unit}',
    'card-page-date': 'Job card, {date}',
    'card-page-no-sheet': 'no spec sheet',
    'card-page-sheet-circuit': '{sheet}, {circuit} circuit',
    'card-page-mounted-on': 'mounted on {unit}',
    'card-page-carries': 'carries {units}',
    'card-page-carries-more': 'carries {units} and {more, number} more',
    'card-page-nothing-due': 'Nothing was asked for, and nothing is due or due soon.',
    'card-page-no-depot': 'no depot',
    'card-page-depot': '{depot}, {elevation} above sea level',
    'card-page-depot-no-elevation': '{depot}, elevation not known',
    'card-page-no-usage': 'no usage reading',
    'card-page-usage': 'about {counters}{stale, select, yes {: needs a reading} other {}}',
    'card-page-released': 'Released with open safety findings',
    'card-page-steps': 'Steps',
    'card-page-parts': 'Parts to bring',
    'card-page-coolant': 'Coolant to bring',
    'card-page-torques': 'Torques',
    'card-page-hold-test': 'Hold test',
    'card-page-belts': 'Belts',
    'card-page-visit': 'Planned visit',
    'card-page-due-anyway': 'Due anyway: do it in the same visit',
    'card-page-alerts': 'Open loss alerts: what to check',
    'card-page-readings': 'Last readings',
    'card-page-held': 'Usage readings held for review: not counted',
    'card-page-missing': 'Not known here',
    'card-page-cautions': 'Cautions',
    'card-page-more-rows': '… and {count, number} more, not printed here',
    'card-page-keep-parked': '{what}: keep it parked until {until}',
    'card-page-due-state': '{state, select, window {due soon} due {due} late {overdue} other {}}',
    'card-page-due-state-on': '{state, select, window {due soon} due {due} late {overdue} other {}}, {date}',
    'card-page-which-part': '{fastener} (which part?)',
    'card-page-range': '{least} to {most}',
    'card-page-torque-turned': '{torque}, then {angle}',
    'card-page-hold-target': '{method, select, vacuum {vacuum} other {pressure}}{proof, select, yes {, to prove the leak fixed} other {}}: target here{limit, select, sea { ({amount} at sea level)} never {, never above {amount}} other {}}',
    'card-page-not-known': 'not known',
    'card-page-greatest-vacuum': 'most that the air here can give',
    'card-page-hold-loss': 'hold, and loss allowed',
    'card-page-belt': '{belt}: {ribs, plural, one {# rib} other {# ribs}}, {length} long',
    'card-page-no-designation': 'not on the spec sheet',
    'card-page-alert': '{kind}{returned, select, yes {, returned} other {}}',
    'card-page-alert-status': '{status, select, raised {raised} acknowledged {acknowledged} shelved {shelved} other {cleared}}, {date}',
    'card-page-reading-name': '{kind} ({which})',
    'card-page-hold-test-name': '{method, select, vacuum {vacuum} other {pressure}} test',
    'card-page-verdict': '{verdict, select, pass {pass} fail {fail} other {inconclusive}}{open, select, yes {, open} other {}}, {date}',
    'card-page-passed': 'passed: {readings}',
    'card-page-kind-of-coolant': '{base}, {technology}',
    'card-page-no-technology': '{base}, technology not on the spec sheet',
    'card-page-strength': 'at {percent, number} %',
    'card-page-concentrate': '{first, select, yes {neat concentrate, poured first} other {concentrate}}',
    'card-page-water': 'demineralised or distilled water{after, select, yes {, poured after it} other {}}',
    'card-page-premix': 'or premix at {percent, number} %{ends, select, yes { (ends at {endsAt, number} %)} other {}}',
    'card-page-if-flushed': 'if flushed with water: neat concentrate first, then demineralised or distilled water',
    'card-page-adjust': '{pour, select, concentrate {neat concentrate} other {demineralised or distilled water}}, for as much drained',
    'card-page-additive': 'additive',
    'card-page-holds': 'system holds {capacity}',
    'card-page-holds-and-stays': 'system holds {capacity}; in block and heater stays',
    'card-page-boils-open': 'boils here with the cap off',
    'card-page-boils': 'boils here under the {cap} cap; with the cap off',
    'card-page-freeze-point': 'last freeze point, {date}',
    'card-page-freeze-point-value': '{value}{verdict, select, pass {, pass} fail {, fail} inconclusive {, inconclusive} other {}}',
    'card-page-freeze-point-strength': '{value} ({percent, number} %){verdict, select, pass {, pass} fail {, fail} inconclusive {, inconclusive} other {}}',
    'card-page-tick': 'done',
    'card-page-blank': '{what, select, strength {reads} below {below mark} out {came out} cold {cold?} start {start} end {end} minutes {min} in {went in} distance {distance} hottest {hottest} other {time}}',
    'card-page-sign': '{what, select, person {Done by} date {Date} hours {Hours} odometer {Odometer} other {Notes}}',
    'card-page-basis': 'By: {entries}.',
    // calendar-feed
    'calendar-name': '{fleet}: due list',
    'calendar-about': "What is due on the fleet's vehicles, on the day it is due.",
    'calendar-about-first': 'Only the {count, number} that are due first, up to {date}. There are more: narrow the address by depotId, component, state or dueBefore.',
    'calendar-work': '{action} {part}',
    'calendar-due': '{unit}: {work}',
    'calendar-due-alarm': '{unit}: {work}, due soon',
    'calendar-due-by': 'Comes due {by, select, distance {by distance, as the vehicle has been used} time {by the calendar} hours {by engine hours, as the vehicle has been used} other {on this day}}.',
    'calendar-window-opens': 'The window opens on {date}.',
    'calendar-overdue-from': 'Overdue from {date} on.',
    'calendar-postponed-until': 'Postponed until {date}.',
    'calendar-at-visit': 'To be done at the visit on {date}.',
    'calendar-counted-from': 'Counted from {date}.',
    'calendar-visit': '{unit}: visit, {work}',
    'calendar-visit-alarm': '{unit}: visit tomorrow, {work}',
    'calendar-visit-work': 'The vehicle comes in for:',
    'calendar-category-visit': 'visit',
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
