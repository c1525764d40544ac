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
    'loss-level':
      'Cold level: {level, select, filled {filled to the mark} at {at the mark} above {{offMark} above the mark} other {{offMark} below the mark}}.{first, select, yes {} other { Lost since the first level: {lost}.}}',
    'loss-level-below-min': 'Below MIN. Lost in all since the first level: at least {lost}.',
    'loss-level-between': 'Between MIN and MAX. Lost in all since the first level: at least {lost}.',
    'loss-level-at-max': 'At MAX. Lost in all since the first level: at least {lost}.',
    'loss-level-above-max': 'Above MAX. Lost in all since the first level: at least {lost}.',
    'loss-top-up':
      '{added} added, not planned{marked, select, yes {, up to the mark} other {}}.{settled, select, yes { {settling} of that is settling after the fill.} other {}}',
    'loss-since-last-level': '{lost} lost since the last known cold level.',
    'loss-since-last-level-by-marks': 'By the marks, at least {lost} lost since the last known cold level.',
    'loss-cooling-job': 'Work on the cooling system ({work}).',
    'loss-strength-before': 'Strength measured before: {strength, number} % {method}.',
    'loss-strength-fell': 'Expected {expected, number} %, measured {strength, number} % {method}.',
    'loss-top-up-strength':
      '{poured, select, water {{added} of water added.} mixture {{added} added, at {strength, number} %.} other {{added} added. Its strength is unknown, so it counts as water.}}',
    'loss-hold-test':
      '{method, select, vacuum {Vacuum} other {Pressure}} test{verdict, select, pass {, passed} fail {, failed} inconclusive {, inconclusive} other {}}. {rated, select, yes {In 10 minutes it would lose {lost}; {allowed} is allowed.} other {The rate of loss is unknown.}}',
    'loss-hold-test-failed-again': '{method, select, vacuum {Vacuum} other {Pressure}} test failed again.',
    'loss-top-up-again': '{lost} added again, not planned.',
    'loss-again': '{lost} lost again.',
    'loss-part-replaced': 'Replaced{known, select, before { before records began} other {}}: {parts}.',
    'loss-part-replaced-again':
      '{why, select, failed {Replaced again because it had failed: {failed}.} early {Replaced again before it was due: {early}.} other {Replaced again because it had failed: {failed}. Before it was due: {early}.}}',
    'loss-batch-fitted': 'Fitted: {part} of batch {batch}. First alert after {distance}.',
    'loss-method-refractometer': 'by refractometer',
    'loss-method-hydrometer': 'by hydrometer',
    'loss-method-test-strip': 'by test strip',
    'loss-method-refractive-index': 'by refractive index',
    'loss-method-brix': 'by Brix',
    'loss-method-volume-percent': 'by an instrument that reads volume %',
    'loss-check-cap': 'Radiator cap and its seat.',
    'loss-check-hoses': 'Hoses from end to end, and their clamps: wet, or with dried coolant on them?',
    'loss-check-weep-hole': 'Water pump weep hole, and the ground below it.',
    'loss-check-radiator-and-heater':
      'Radiator, reservoir and heater core: wet carpet, a sweet smell, a film inside the windscreen?',
    'loss-check-pressure-test': "Pressure test at the cap's rating, engine cold.",
    'loss-check-combustion-gas':
      'Only then a combustion-gas test; fit the tester to a cold engine. If it is positive, park the vehicle: head gasket, EGR cooler or injector sleeves.',
    'loss-check-water-added': 'Ask who drives and fuels the vehicle whether water was added on the road.',
    'loss-check-strength':
      'Measure the strength again with a refractometer, once the coolant has mixed. Bring it back to the target.',
    'loss-check-tester': 'Test the gauge, hoses and adapter by themselves: does the tool hold?',
    'loss-check-failed-part':
      'Find out why the part came back: the failed part itself, its sealing faces, the coolant that ran through it.',
    'loss-check-belt': 'Where the part is driven: belt tension and pulley alignment.',
    'loss-check-first-job':
      'Torques and procedure of the first job. Compare part number and batch with the spec sheet.',
    'loss-check-batch-vehicles': 'Other vehicles with parts of this batch: inspect them at their next visit.',
    'loss-check-batch-stock': 'Stock of the same batch: set it aside until the supplier has answered.',
    'loss-check-fitting': 'Fitting procedure and torques: the cause may be the work and not the part.',
    'caution-vacuum-hides-leak':
      'A passed vacuum test does not show that this leak is gone. A vacuum pulls a lip seal or a head gasket shut.',
    'basis-loss-early-return':
      'replaced again within {months, plural, one {# month} other {# months}}, {distance} and {hours, plural, one {# engine hour} other {# engine hours}}: common practice, no published source',
    'basis-loss-cusum':
      "one-sided tabular CUSUM (NIST/SEMATECH e-Handbook 6.3.2.3) of how each level lies off the vehicle's own line (recursive residuals: Brown, Durbin and Evans 1975), slack {slack, number}; sum and single departure each limited to one false alarm in {distance, number} km (Siegmund 1985; normal distribution)",
    'basis-loss-usual':
      'usual loss {usual} ± {spread} per 1,000 km, {known, select, cohort {from vehicles of the same spec sheet} other {assumed: common practice, no published source}}; level reading ± {level}: common practice, no published source',
    'basis-loss-top-ups':
      'two or more top-ups that nobody planned, together at least {share, number} % of the capacity of {capacity}: common practice, no published source',
    'basis-loss-at-once':
      'one loss of at least {share, number} % of the capacity of {capacity} since the last known cold level: common practice, no published source',
    'basis-loss-water':
      'conservation of glycol through every recorded top-up, capacity {capacity}; uncertainty of both readings by JCGM 100',
    'basis-loss-water-share':
      'alert above {share, number} % of capacity, uncertainty taken off: common practice, no published source',
    'basis-loss-hold-trend':
      'Mann–Kendall trend test, exact one-sided p below {limit, number}, over the {method, select, vacuum {vacuum} other {pressure}} tests since the last repair',
    'basis-loss-hold-failed':
      'a {method, select, vacuum {vacuum} other {pressure}} test that failed after one that passed, with no cooling job in between',
    'basis-loss-return':
      'a loss within {days, plural, one {# day} other {# days}} of clearing: common practice, no published source',
    'basis-loss-batch':
      "binomial test of the batch's share of alerts against its share of kilometres, p below {limit, number, ::@@}: {probability, number} shared out over {batches, plural, one {# batch} other {# batches}} tested and over the looks at each",
    'loss-capacity-not-above-zero': 'A capacity of {capacity} is not possible: it must be above 0.',
    'loss-strengths-not-above-zero':
      'Strengths of {expected, number} % and {measured, number} % cannot be compared: both must be above 0.',
    'loss-instant-without-offset':
      '"{at}" is not an instant. Give the date, the time and the offset, such as 2026-04-02T15:20:00Z.',
    'loss-shelving-without-end': 'Shelving needs an end. Give a time after {after}.',
    'loss-shelving-ends-too-early':
      'Shelving until {until} would end before it begins. Give a time after {after}.',
    // reliability
    'life-not-above-zero': 'A life of {age, number} is not possible: it must be above 0.',
    'life-watched-too-late':
      'A life of {age, number} cannot be watched from {entry, number} on: give a start of 0 or more, before its end.',
    'life-count-not-above-zero': '{count, number} lives are not possible: give more than 0.',
    // visits
    'visit-left-no-working-day': 'The depot works on none of the days of the plan.',
    'visit-left-window-opens-later': 'Its window opens on {opens}, after the last working day of the plan.',
    'visit-left-too-long-for-a-day':
      'It takes {hours, plural, one {# hour} other {# hours}}. No working day from {from} on has that much labour free.',
    'visit-left-costs-no-more-later': 'It costs no more on {next}, the first working day after the plan.',
    'visit-left-for-dearer-work':
      'The labour goes to work that costs more to leave. The plan counts this line on {next}, the first working day after it.',
    'visits-range-exchanged': '{to} is before from, {from}. Were the two exchanged?',
    'visit-cancelled-already': 'This visit was cancelled already: {reason}',
    'visit-done-already': 'The work of this visit was done on {on}. If the job report is wrong, void it.',
    // job-card
    // statistics
    // job-card-page
    // calendar-feed
    // mail
    // reminders
    // due-list
    // loss-alerts
    'alert-shelved-into-past': '{until} is past. Shelve the alert until a later time than now.',
    'alert-shelved-too-long':
      '{until} is more than {days, plural, one {# day} other {# days}} ahead. Shelve the alert for less, or clear it.',
    'alert-no-longer-standing': 'The facts behind this alert were voided. There is nothing left to act on.',
    'alert-cleared-already': 'This alert was cleared at {at} and is closed. New evidence raises a new one.',
    'alert-acknowledged-already': 'This alert is acknowledged already. You can shelve or clear it.',
    // interval-advice
    'advice-too-few-failures':
      'There {failures, plural, one {is 1 failure} other {are # failures}} on record. Below {least, number}, an estimate says more about chance than about the parts.',
    'advice-no-law-fits': 'The failures are all alike, or too far apart: no Weibull law fits them.',
    'advice-no-wear-out':
      'Nothing shows yet that these parts wear out with use: a new part would fail as readily as an old one. The shape is {shape, number, ::@##}, with 95 % limits of {low, number, ::@##} and {high, number, ::@##}. The lower limit is not above 1.',
    'advice-no-costs': 'Neither plannedCost nor failureCost is given. Without them there is no least cost.',
    'advice-failure-costs-no-more':
      'A failure costs no more than a planned replacement, so replacing early saves nothing.',
    'advice-band-too-wide':
      'The 95 % band of the best interval is from {low} to {high}, wider than a factor of {factor, number}. These lives do not name an interval.',
    'advice-band-without-end':
      'The 95 % band of the best interval begins at {low} and has no end. These lives do not exclude that replacing early never pays.',
    'advice-beyond-the-lives':
      'The best interval would be {best}, but no part has been watched beyond {longest}.',
    'advice-none': 'No interval is advised.',
    'advice-do-report-failures':
      'Keep to the plan until there are enough failures. In job reports, mark each replaced part that had failed with failed.',
    'advice-do-look-for-common-cause':
      'Keep to the plan. Find out what these failures have in common: a batch, a job, a place.',
    'advice-do-look-at-fitting':
      'Keep to the plan. Look at how parts are fitted, at batches and at what else is wrong where they fail, rather than at the interval.',
    'advice-do-give-costs': 'Give plannedCost and failureCost, tow and downtime included.',
    'advice-do-check-failure-cost':
      'Keep to the plan. Check that failureCost has tow, downtime and what a failed part takes with it.',
    'advice-do-ask-again': 'Keep to the plan, and ask again when there are more failures.',
    'advice-do-keep-to-plan':
      'Keep to the plan. By these lives, replacing earlier than it says does not pay.',
    'advice-best':
      "Replacing the {part} every {best} costs least by the fleet's own failures. Anything from {low} to {high} agrees with them.",
    'advice-saving': 'It costs {percent, number} % less than replacing failed parts only.',
    'advice-plan-agrees':
      'The plan "{plan}"{named, select, yes { ({item})} other {}}, under {duty, select, severe {severe} other {normal}} duty, says {every}. That agrees: leave it.',
    'advice-plan-too-late':
      'The plan "{plan}"{named, select, yes { ({item})} other {}}, under {duty, select, severe {severe} other {normal}} duty, says {every}. That is too late: shorten it to {best}.',
    'advice-plan-sooner':
      'The plan "{plan}"{named, select, yes { ({item})} other {}}, under {duty, select, severe {severe} other {normal}} duty, says {every}. By these lives that is sooner than need be. You may lengthen it towards {low}, never beyond what the vehicle maker says.',
    'advice-plan-without-limit':
      'The plan "{plan}"{named, select, yes { ({item})} other {}}, under {duty, select, severe {severe} other {normal}} duty, has no limit by this counter. {best} would be one.',
    'advice-no-plan': 'No plan of these vehicles replaces it yet. Add an interval to the plan.',
    'lives-usage-unknown':
      'The usage at one end is not known. Give inServiceOdometer or inServiceEngineHours, and readings around the job.',
    'lives-no-use':
      'Nothing was run between the two ends. For a part that runs, there is no reading since it was fitted.',
    'lives-before-records':
      'The part came out before records began. Why, and whether others did, is not on record.',
    'lives-watched-only-at-end':
      'The part was fitted before records began, and nothing was read since they did.',
    'lives-sheet-changed': 'The vehicle had another spec sheet during the life.',
    'lives-item-unknown': 'The job does not say which one of several was replaced.',
    'caution-lives-of-both-duties':
      'The lives mix normal and severe duty: parts may wear differently. Ask for one by duty=.',
    'caution-lives-of-every-sheet':
      'The lives are those of every vehicle, whatever its spec sheet. Ask for one by specSheetId=.',
    'caution-lives-of-several-items':
      'The lives are of {count, number} items together ({items}). Ask for one by item=.',
    'caution-lives-follow-no-law':
      'The lives do not follow a Weibull law (p = {p, number, ::@#}): more than one cause of failure may be mixed. Look at the survival curve before you rely on the interval.',
    'caution-lives-from-day-in-service':
      '{count, number} of {total, plural, one {# life begins} other {# lives begin}} with the day in service. A part that was replaced before records began, and not imported, makes them too long. Say from when records are complete by recordsFrom=.',
    'caution-lives-failed-at-first-reading':
      '{count, number} of {total, plural, one {# life} other {# lives}}: fitted before records began, and failed at the first reading. They count as if watched from new.',
    'caution-lives-left-out':
      '{count, plural, one {# further life is} other {# further lives are}} left out; see leftOut.',
    'caution-band-beyond-lives': 'The band reaches beyond the longest life on record.',
    'caution-maker-interval-shorter':
      "Where the vehicle maker's interval is shorter, keep to it: a failure can harm more than it costs.",
    'basis-lives':
      'Lives: from a replacement (or the day in service) to the next, by believed usage; a replacement marked failed is a failure, a planned one or a part still running is censored, and a part fitted before records began counts from the first reading after that (delayed entry). A vehicle with no replacement on record counts as running on its first part',
    'basis-weibull':
      'Weibull law by maximum likelihood; 95 % limits: normal approximation for the logarithms, variance from the observed Fisher information (Meeker & Escobar 1998, chapter 8)',
    'basis-survival':
      "Survival steps: Kaplan & Meier (1958); 95 % limits by Greenwood's variance on the log-log scale",
    'basis-goodness-of-fit':
      'Goodness of fit: χ² for censored lives with estimated parameters (Hjort 1990, Ann. Statist. 18, 1221)',
    'basis-goodness-cells':
      'χ² of observed against expected failures in cells of age, both parameters estimated (Hjort 1990)',
    'basis-age-replacement': 'Cost and optimum: age replacement (Barlow & Proschan 1965, section 4.2)',
    'basis-optimum-band':
      'Band of the optimum: 95 % by profile likelihood (Meeker & Escobar 1998, section 8.3)',
    'basis-advice-refused':
      'Refused below {least, number} failures, where the lower limit of the shape is not above 1, where a failure costs no more, where the band is wider than a factor of {factor, number} (common practice), or where the optimum is beyond the longest life (common practice)',
    'advice-too-many-vehicles':
      'Give one: more than {most, number} vehicles are too many to look at at once.',
    'advice-planned-cost-missing': 'It is missing: failureCost needs plannedCost beside it.',
    'advice-failure-cost-missing': 'It is missing: plannedCost needs failureCost beside it.',
    // visit-plans
    'plan-range-exchanged': '{to} is before from, {from}. Were the two exchanged?',
    'plan-begins-in-past': '{from} is past. The first day that can be planned is today, {today}.',
    'plan-too-long':
      'The plan would run to {to}, which is {days, plural, one {# day} other {# days}}. A plan has at most {most, number} days: it can run to {latest}.',
    'plan-names-no-depot': 'It names no depot. Leave depotIds out to plan all of them.',
    'plan-depot-unknown': 'There is no such depot in this fleet.',
    'plan-too-many-waiting':
      'This fleet has {present, plural, one {# visit plan that waits} other {# visit plans that wait}} to be solved, and may have {limit, number}. Try again when one is solved, which takes up to {seconds, plural, one {# second} other {# seconds}}, or delete one that you do not need.',
    'plan-is-past': 'The plan ran until {to}, which is past. Ask for another.',
    'plan-confirmed-already':
      'This plan was confirmed at {at}. Its visits now exist by themselves: cancel those that you do not want, and ask for another plan.',
    'plan-failed': 'This plan failed. {problem} It has nothing to change.',
    'plan-failed-unexplained': 'This plan failed. It has nothing to change.',
    'plan-still-being-solved': 'This plan is still being solved. Wait until its state is solved.',
    'plan-nothing-to-confirm':
      'There is nothing to confirm: the plan has no visits, or all of them are dropped.',
    'plan-nothing-confirmable':
      'None of the visits can be confirmed any more. {reason} Solve the plan again.',
    'plan-hours-taken':
      'By now there is more work than labour: {days}{more, plural, =0 {} one {, and # more day} other {, and # more days}}. Solve the plan again, or move or drop visits.',
    'plan-hours-short': '{day} at {depot} ({taken, number} h of {limit, number} h)',
    'plan-too-many-lines':
      'More than {most, number} lines are due by {to}. Plan fewer depots at a time, or fewer days.',
    'plan-given-up':
      'The worker began it {times, plural, one {# time} other {# times}} and never finished. Plan fewer depots at a time, or fewer days.',
    'solver-time-over': 'The time for solving was over.',
    'solver-stopped-at': 'The solver stopped with the status "{status}".',
    'solver-overran': 'The solver overran its time.',
    'solver-service-stopping': 'The service is stopping.',
    'solver-too-many-choices': 'There are too many lines and days for the solver.',
    'solver-found-nothing': 'The solver found no plan.',
    'solver-broke-down': 'The solver broke down: {report}',
    'visit-left-no-depot': 'Its vehicle is kept at no depot, so there is no place for it to come in.',
    'visit-left-depot-closed': 'The depot is closed for a year or more.',
    'visit-left-other-visit': 'A visit on {on} was confirmed for it already.',
    'visit-left-done-since': 'It was done on {on}, after the plan was solved.',
    'visit-left-not-due': 'It is no longer due.',
    'visit-left-vehicle-moved': 'Its vehicle has left the depot that the visit was planned at.',
    'visit-left-day-past': 'The day of the visit, {day}, is past.',
    'visit-day-outside-plan': '{day} is outside the plan, which runs from {from} to {to}.',
    'visit-day-past': '{day} is past. Today is {today}.',
    'visit-day-not-worked':
      '{day} is a {weekday, select, monday {Monday} tuesday {Tuesday} wednesday {Wednesday} thursday {Thursday} friday {Friday} saturday {Saturday} other {Sunday}}, and {depot} does not work on that day of the week.',
    'visit-day-depot-closed': '{depot} is closed on {day}.',
    'visit-day-before-window':
      '{day} is too early. The window of this work ({work}) opens on {opens}. That is the earliest day for this visit.',
    'visit-day-full':
      'On {day}, {taken, number} h of the {limit, number} h of labour at {depot} are taken. This visit takes {hours, number} h.',
    'visit-moved-is-pinned':
      'A visit that is moved is pinned to its new day, or solving again would move it back. Leave pinned out, or make it true.',
    'visit-moved-and-dropped': 'A visit that is dropped has no other day. Give either day or dropped.',
    'visit-pinned-and-dropped': 'A visit that is dropped cannot be pinned. Give one of the two.',
    // job-reports
    // imports
    // attachments
    // spec-sheets
    // interval-plans
    'interval-listed-twice': 'This work ({work}) is in the plan twice. {earlier} has it already.',
    'interval-limits-empty': 'It is empty. Give everyDistance, everyMonths or everyEngineHours.',
    'interval-severe-longer': '{severe} is longer than the {normal} under normal duty. Were the two swapped?',
    'interval-severe-longer-months':
      '{severe, plural, one {# month is} other {# months are}} longer than the {normal, plural, one {# month} other {# months}} under normal duty. Were the two swapped?',
    'interval-margin-too-long': '{margin} is as long as the interval of {interval} itself. Give less.',
    'interval-margin-too-long-days':
      '{days, plural, one {# day is} other {# days are}} as long as the interval of {months, plural, one {# month} other {# months}} itself. Give less.',
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
