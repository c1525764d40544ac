import type { Action, Component, FollowUpUrgency } from '../intervals/types.js';
import type { FindingOfReading } from '../readings/kinds.js';

/**
 * What settles a finding: a reading that passed, or a new part or coolant. `settling.ts` says how
 * each is recognised.
 */
export type SettledBy =
  // Readings.
  | 'pressure-test'
  | 'hold-test'
  | 'freeze-point'
  | 'strength-read'
  | 'torque-set'
  | 'full-belt-check'
  | 'cap-test'
  | 'warm-up-check'
  | 'warm-up-with-new-thermostat'
  | 'road-test'
  | 'level-check'
  | 'fill'
  | 'measured-again'
  | 'clear-after-repair'
  | 'condition-read'
  | 'no-gas-after-repair'
  // Work.
  | 'new-belt'
  | 'new-cap'
  | 'flush';

/** What leaves something to be done: what a reading found, or that a job opened the circuit. */
export type Finding = FindingOfReading | 'circuit-opened';

/** A row of the table: what is to be done, how soon, and what settles it, any one of them. */
type Row = readonly [
  line: `${Component | 'of-fastener'}/${Action}`,
  urgency: FollowUpUrgency,
  ...settledBy: SettledBy[],
];

/**
 * Every finding that leaves something to be done: what, how soon, and what settles it. Common
 * practice, no published source.
 *
 * A vacuum pulls a leaking lip seal shut, so it settles no pressure test. Belt and cap were
 * looked at themselves, so a new one settles the finding. What a warm-up or a drive showed is a
 * symptom, and has to be seen gone. A low level and a short fill are rechecked within days and
 * not at once: the answer says to fill up and bleed before the vehicle leaves, and the level
 * tells nothing more until the engine has warmed up and cooled down once.
 */
export const FOLLOW_UPS = {
  'circuit-opened': ['coolant/recheck', 'recheck', 'level-check'],

  'pressure-test-failed': ['coolant/test', 'at-once', 'pressure-test'],
  'vacuum-test-failed': ['coolant/test', 'at-once', 'hold-test'],
  'over-pressured': ['coolant/test', 'at-once', 'pressure-test'],
  'pressure-test-unclear': ['coolant/test', 'soon', 'pressure-test'],
  'vacuum-test-unclear': ['coolant/test', 'soon', 'hold-test'],

  'strength-wrong': ['coolant/adjust', 'at-once', 'freeze-point'],
  'strength-unclear': ['coolant/test', 'soon', 'freeze-point', 'strength-read'],
  'water-poured': ['coolant/test', 'at-once', 'strength-read'],
  'fill-weak': ['coolant/test', 'at-once', 'strength-read'],

  'torque-wrong': ['of-fastener/adjust', 'at-once', 'torque-set'],

  'belt-worn': ['drive-belt/replace', 'at-once', 'full-belt-check', 'new-belt'],
  'belt-contaminated': ['drive-belt/replace', 'at-once', 'full-belt-check', 'new-belt'],
  'belt-out-of-place': ['drive-belt/adjust', 'at-once', 'full-belt-check', 'new-belt'],

  'cap-failed': ['radiator-cap/replace', 'at-once', 'cap-test', 'new-cap'],

  'combustion-gas': ['head-gasket/replace', 'at-once', 'no-gas-after-repair'],

  'leak-at-warm-up': ['coolant/test', 'at-once', 'warm-up-check', 'pressure-test'],
  'thermostat-shut': ['thermostat/replace', 'at-once', 'warm-up-check'],
  'fan-dead': ['fan-drive/replace', 'at-once', 'warm-up-check'],
  'warm-up-failed': ['coolant/recheck', 'recheck', 'warm-up-check', 'pressure-test'],

  'leak-on-the-road': ['coolant/test', 'at-once', 'pressure-test', 'road-test'],
  overheated: ['coolant/test', 'at-once', 'road-test'],
  'warning-lamp': ['coolant/test', 'at-once', 'road-test'],
  'thermostat-stuck-open': ['thermostat/replace', 'at-once', 'road-test', 'warm-up-with-new-thermostat'],

  'level-low': ['coolant/recheck', 'recheck', 'level-check'],
  'fill-short': ['coolant/recheck', 'recheck', 'level-check', 'warm-up-check', 'fill'],

  oil: ['oil-cooler/replace', 'at-once', 'clear-after-repair'],
  dirt: ['coolant/flush', 'at-once', 'measured-again'],
  acid: ['coolant/flush', 'at-once', 'measured-again'],
  'laboratory-limit': ['coolant/flush', 'soon', 'measured-again'],
  'worn-out': ['coolant/replace', 'soon', 'measured-again'],
  'inhibitors-off': ['coolant/adjust', 'soon', 'measured-again'],
  'condition-failed': ['coolant/test', 'soon', 'measured-again'],

  'other-base': ['coolant/flush', 'at-once', 'flush'],
  'other-technology': ['coolant/test', 'soon', 'condition-read'],
} as const satisfies Record<Finding, Row>;

/** Why a line is open, for a mechanic: what is wrong, then what to do. */
const CAUSES: Readonly<Record<Finding, string>> = {
  'circuit-opened': 'the coolant circuit was opened',
  'pressure-test-failed': 'the pressure test failed: find and mend the leak, then pass a pressure test',
  'vacuum-test-failed': 'the vacuum test failed: find and mend the leak, then pass a vacuum or pressure test',
  'over-pressured':
    "the system was over-pressured: check radiator, heater core and hoses, then repeat the test at the cap's rating",
  'pressure-test-unclear': 'the pressure test was inconclusive: repeat it',
  'vacuum-test-unclear': 'the vacuum test was inconclusive: repeat it',
  'strength-wrong': 'the freeze point failed: adjust the strength, then read it again',
  'strength-unclear': 'the freeze point was inconclusive: read it again',
  'water-poured': 'water was poured in: read the freeze point',
  'fill-weak': 'the fill leaves the coolant too weak: read the freeze point',
  'torque-wrong': 'the torque set failed: put the fasteners right, then record all their torques',
  'belt-worn': 'the belt is worn: fit a new one',
  'belt-contaminated': 'oil or coolant is on the belt: stop the leak, then fit a new belt',
  'belt-out-of-place':
    'the belt is off its ribs, out of line or its tensioner is out of range: put it right, then do a full belt check',
  'cap-failed': 'the cap failed its test: fit a new one',
  'combustion-gas':
    'combustion gas is in the coolant: park it; look at the head gasket, or else the EGR cooler or an injector sleeve',
  'leak-at-warm-up': 'a leak was seen at warm-up: mend it, then pass a warm-up check or a pressure test',
  'thermostat-shut': 'the thermostat did not open at warm-up: replace it, then pass a warm-up check',
  'fan-dead':
    'the fan did not run at warm-up: check relay and sensor, or else replace its drive; then pass a warm-up check',
  'warm-up-failed':
    'the warm-up check failed: bleed and fill up, then pass a warm-up check or a pressure test',
  'leak-on-the-road': 'a leak was seen on the road: mend it, then pass a pressure test or a road test',
  overheated:
    'the engine overheated on the road: check level, fan, thermostat and radiator, test for combustion gas, then pass a road test',
  'warning-lamp': 'a warning lamp came on: find out why, then pass a road test',
  'thermostat-stuck-open':
    'the engine did not warm up on the road: replace the thermostat, then pass a warm-up check or a road test',
  'level-low':
    'the level was low: fill up; a cold level at or between the marks, at least 4 hours after filling up, settles it (record that the engine was cold)',
  'fill-short': 'the fill failed: bleed and fill up, then read the level cold',
  oil: 'oil is in the coolant: test the oil cooler, then the head gasket; after the repair, flush the coolant and look at it again',
  dirt: 'rust or particles are in the coolant: flush it, then look at it again',
  acid: 'the coolant is acid and eats metal: flush it, then measure pH again',
  'laboratory-limit':
    'a laboratory value is outside its limits: flush the coolant, then have the same value measured again',
  'worn-out': 'the reserve alkalinity of the coolant is used up: replace it, then measure it again',
  'inhibitors-off':
    'pH or an additive is out of range: treat the coolant as the reading says, then measure the same values again',
  'condition-failed': 'the coolant condition failed: put it right, then measure the same values again',
  'other-base': 'coolant of another base was poured in: flush it',
  'other-technology': 'coolant of another technology was poured in: test its condition',
};

/** What a finding calls for. */
export interface CalledFor {
  component: Component;
  action: Action;
  urgency: FollowUpUrgency;
  /** Any one of them settles it. */
  settledBy: readonly SettledBy[];
  cause: string;
}

/**
 * The table's row for a finding.
 *
 * @param ofFastener the component that a fastener belongs to
 * @example calledForBy('belt-worn') // { component: 'drive-belt', action: 'replace', urgency: 'at-once', … }
 */
export function calledForBy(finding: Finding, ofFastener: Component = 'other'): CalledFor {
  const [line, urgency, ...settledBy]: Row = FOLLOW_UPS[finding];
  const [component, action] = line.split('/') as [Component | 'of-fastener', Action];
  return {
    component: component === 'of-fastener' ? ofFastener : component,
    ...{ action, urgency, settledBy, cause: CAUSES[finding] },
  };
}
