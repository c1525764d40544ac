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
    'board-title': 'Board',
    'board-skip': 'Skip to the content',
    'board-views': 'Views',
    'board-language': 'Language',
    'board-due-list': 'Due list',
    'board-loss-alerts': 'Loss alerts',
    'board-needs-javascript': 'The board needs JavaScript.',
    'board-disclaimer':
      "The board shows what was recorded and calculated. It does not replace the vehicle maker's service information, local rules or qualified people.",
    'board-live': 'Live: changes show here by themselves.',
    'board-cut-off': 'Cut off: what you see may be out of date. Trying again.',
    'board-sign-in': 'Sign in',
    'board-sign-out': 'Sign out',
    'board-token': 'Token',
    'board-about-token':
      'A token of your fleet, for a dashboard, a mechanic or a manager. It is kept until you close this tab or sign out.',
    'board-token-malformed': 'A token has no spaces and no accented letters.',
    'board-token-refused': 'This token is no longer accepted. Sign in again.',
    'board-no-answer': 'The service does not answer. Check the connection.',
    'board-try-again': 'Try again',
    'board-filter': 'Filter the due list',
    'board-depot': 'Depot',
    'board-component': 'Component',
    'board-unit-number-part': 'Part of the unit number',
    'board-state': 'State',
    'board-all-depots': 'All depots',
    'board-all-components': 'All components',
    'board-state-late': 'overdue',
    'board-state-due': 'due',
    'board-state-window': 'due soon',
    'board-state-not-due': 'not due',
    'board-state-no-baseline': 'last service unknown',
    'board-state-at-once': 'At once, {state}',
    'board-counted-late': '{count, number} overdue',
    'board-counted-due': '{count, number} due',
    'board-counted-window': '{count, number} due soon',
    'board-counted-not-due': '{count, number} not due',
    'board-counted-no-baseline': '{count, number} with the last service unknown',
    'board-nothing-matches': 'Nothing matches. Try other states or components.',
    'board-at-once': 'At once',
    'board-at-once-why': 'A reading found something unsafe. Do these first.',
    'board-in-all': 'In all: {counts}',
    'board-at-no-depot': 'At no depot',
    'board-unnamed-depot': 'A depot',
    'board-counts-at': 'As of {on} at {depot}: {counts}.',
    'board-counts': 'As of {on}, all depots: {counts}.',
    'board-done': 'Done in the last 90 days: {onTime, number} on time, {late, number} late.',
    'board-first-page': 'First page',
    'board-next-page': 'Next page',
    'board-pages-of-due-list': 'Pages of the due list',
    'board-pages-of-alerts': 'Pages of the loss alerts',
    'board-lines-shown': '{count, plural, one {# due line} other {# due lines}} shown',
    'board-lines-changed': '{count, plural, one {# due line} other {# due lines}} changed',
    'board-line-now': '{unit}, {component}, {action}: {state}',
    'board-line-gone': '{unit}, {component}, {action}: no longer applies',
    'board-troubles': 'Reminders may not arrive',
    'board-released': 'Released with open safety findings',
    'board-released-more': 'There are more: the vehicles list has them all.',
    'board-keep-parked': 'Keep the vehicle parked until {until}.',
    'board-legend': 'How to read the strips',
    'board-legend-late': 'Pennant: overdue, past its grace',
    'board-legend-due': 'Square on its corner: due',
    'board-legend-window': 'Bracket: due soon, a good time for the work',
    'board-legend-not-due': 'Ring: not due',
    'board-legend-no-baseline': 'Broken ring: last service unknown',
    'board-legend-strip':
      'The mark is on the day the work is due. An arrow at the edge means that the day is beyond the strip. The hatched area runs from the earliest to the latest likely day, by how the vehicle is used (90 % limits). The tall thin line is where the window opens. The short one at the foot is where it turns overdue. The broken line is today.',
    'board-window-from': 'window from {on}',
    'board-late-from': 'overdue from {on}',
    'board-strip-without-date': 'no date',
    'board-due-on': 'Due {on}.',
    'board-due-between': 'Due {on}, between {earliest} and {latest}.',
    'board-by-distance': 'By distance.',
    'board-by-time': 'By time.',
    'board-by-engine-hours': 'By engine hours.',
    'board-postponed': 'Postponed until {until}.',
    'board-no-date': 'No date.',
    'board-needs-reading': 'Needs an odometer or hour reading.',
    'board-stale': 'The last odometer or hour reading is more than 60 days old.',
    'board-left': '{amount} left.',
    'board-over': '{amount} over.',
    'board-because': 'Why: {cause}',
    'board-vehicle': 'Vehicle',
    'board-vehicle-changed': 'This vehicle changed',
    'board-duty': 'Duty',
    'board-now-about': 'Now about',
    'board-daily-use': 'Daily use',
    'board-last-read': 'Last read',
    'board-none': 'none',
    'board-not-known': 'not known',
    'board-never': 'never',
    'board-duty-normal': 'normal',
    'board-duty-severe': 'severe',
    'board-status-in-use': 'in use',
    'board-status-laid-up': 'laid up',
    'board-status-disposed': 'disposed',
    'board-rate': '{rate} a day (90 % limits: {low} to {high})',
    'board-read-long-ago': '{at}, more than 60 days ago',
    'board-job-card': 'Job card',
    'board-job-card-to-print': 'Job card to print',
    'board-print': 'Print',
    'board-back': 'Back to the vehicle',
    'board-due-lines': 'Due lines',
    'board-no-due-lines': 'No due lines: the vehicle may have no interval plan.',
    'board-usage': 'Usage',
    'board-loss-and-strength': 'Coolant loss and strength',
    'board-earlier': 'Earlier ones are not shown here.',
    'board-hold-tests': 'Hold tests',
    'board-no-hold-tests': 'No hold test is on record.',
    'board-when': 'When',
    'board-method': 'Method',
    'board-start': 'Start',
    'board-end': 'End',
    'board-minutes': 'Minutes',
    'board-verdict': 'Verdict',
    'board-method-vacuum': 'vacuum',
    'board-method-pressure': 'pressure',
    'board-verdict-pass': 'pass',
    'board-verdict-fail': 'fail',
    'board-verdict-inconclusive': 'inconclusive',
    'board-not-judged': 'no limit to judge by',
    'board-reading-voided': 'voided',
    'board-loose-readings': 'Readings outside jobs',
    'board-no-loose-readings': 'None of the latest readings was taken outside a job.',
    'board-reading-with-item': '{reading} ({item})',
    'board-reading-hold-test': 'hold test',
    'board-reading-vacuum-test': 'vacuum test',
    'board-reading-pressure-test': 'pressure test',
    'board-reading-freeze-point': 'freeze point',
    'board-reading-torque-set': 'torque set',
    'board-reading-fill': 'fill',
    'board-reading-warm-up-check': 'warm-up check',
    'board-reading-belt-check': 'belt check',
    'board-reading-level-check': 'level check',
    'board-reading-top-up': 'top-up',
    'board-reading-coolant-condition': 'coolant condition',
    'board-reading-cap-test': 'cap test',
    'board-reading-combustion-gas-test': 'combustion-gas test',
    'board-reading-road-test': 'road test',
    'board-usage-held': 'Held for review, not counted',
    'board-no-usage': 'No odometer or hour reading is on record.',
    'board-jobs': 'Jobs',
    'board-no-jobs': 'No job is on record.',
    'board-job-voided': 'Voided.',
    'board-job-baseline': 'Done before records began.',
    'board-job-by': 'By {name}.',
    'board-job-released-yes': 'Released for service.',
    'board-job-released-with-limits': 'Released with limits.',
    'board-job-released-no': 'Not released.',
    'board-job-at': 'At {count}.',
    'board-odometer-not-counted':
      'Odometer {count}: {status, select, held {held for review} discarded {discarded} voided {voided} duplicate {duplicate} other {doubted}}, not counted.',
    'board-engine-hours-not-counted':
      'Hour meter {count}: {status, select, held {held for review} discarded {discarded} voided {voided} duplicate {duplicate} other {doubted}}, not counted.',
    'board-set-aside': 'Set aside, not counted: {pointer}.',
    'board-work-failed': '{work} (had failed)',
    'board-no-alerts': 'No loss alerts.',
    'board-alert-repeat-top-ups': 'Repeated top-ups',
    'board-alert-rising-loss': 'Rising loss',
    'board-alert-unrecorded-water': 'Unrecorded water',
    'board-alert-weakening-hold': 'Weakening hold tests',
    'board-alert-early-return': 'Part back too early',
    'board-alert-part-cohort': 'Bad part batch: fails too often',
    'board-alert-since': 'Raised {at}',
    'board-alert-acknowledged': 'Acknowledged',
    'board-alert-shelved': 'Shelved',
    'board-alert-shelved-until': 'Shelved until {until}',
    'board-alert-cleared': 'Cleared',
    'board-alert-returned': 'It had been cleared shortly before',
    'board-alert-withdrawn': 'Its evidence was voided',
    'board-alert-vehicles': '{count, plural, one {# vehicle} other {# vehicles}}',
    'board-check-next': 'Check next',
    'board-evidence': 'Evidence',
    'board-cautions': 'Cautions',
    'board-cautions-for-all': 'Cautions, whichever you check',
    'board-chart-odometer': 'Odometer',
    'board-chart-engine-hours': 'Engine hours',
    'board-as-read': 'as read',
    'board-forecast': 'forecast from daily use',
    'board-forecast-lowest': 'lowest forecast (90 % limits)',
    'board-forecast-highest': 'highest forecast (90 % limits)',
    'board-level-due': 'due, {work}',
    'board-chart-lost': 'Coolant lost, as far as known',
    'board-lost-in-all': 'lost in all',
    'board-chart-loss-by-distance': 'Loss by distance',
    'board-loss': 'loss',
    'board-usual-loss': 'usual for its kind',
    'board-chart-leak-indicator': 'Leak indicator (alert above the line)',
    'board-leak-indicator': 'indicator, in standard deviations',
    'board-alert-line': 'alert line',
    'board-chart-departure': 'How far each level was from its usual line',
    'board-departure': 'distance, in standard deviations',
    'board-chart-strength': 'Coolant strength by volume',
    'board-measured': 'measured',
    'board-expected-strength': 'expected from the recorded top-ups',
    'board-target-strength': 'target of its spec sheet',
    'board-strength-max': 'highest that its spec sheet allows',
    'board-chart-vacuum-loss': 'Loss a minute in vacuum hold tests',
    'board-chart-pressure-loss': 'Loss a minute in pressure hold tests',
    'board-allowed': 'allowed',
    'board-nothing-to-draw': 'Nothing to draw yet:',
    'board-chart-line':
      '{name}: {count, plural, one {# value} other {# values}}, the latest on {at}: {latest}',
    'board-as-table': '{title} as a table',
    'board-table': '{title}, table',
  },
};
