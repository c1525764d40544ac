import type { FaultFinding } from '../faults/what-it-opens.js';
import type { Action, Component, FollowUpUrgency } from '../intervals/types.js';
import type { Message } from '../message.js';
import type { FindingOfReading } from '../readings/kinds.js';
import { message } from './messages.js';

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
  | 'belt-tension'
  | 'tension-after-run-in'
  | 'full-tensioner-check'
  | 'conductivity-read'
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
  | 'gas-test'
  | 'cold-level'
  // Work.
  | 'new-belt'
  | 'new-tensioner'
  | 'new-cap'
  | 'flush'
  | 'new-sensor'
  | 'new-filter'
  // A repair, and the fault read as gone after it.
  | 'mended-and-gone'
  // A defect that was repaired, or dismissed as one that need not be. `defects/defect.ts` says
  // which.
  | 'defect-closed';

/** A defect that a person reported: nobody has decided about it yet, or it is to be repaired. */
export type DefectFinding = 'defect-reported' | 'defect-triaged';

/**
 * What leaves something to be done: what a reading found, what the vehicle or a person reported, or
 * that a job opened the circuit.
 */
export type Finding = FindingOfReading | FaultFinding | DefectFinding | 'circuit-opened';

/** A row of the table: what is to be done, how soon, and what settles it, any one of them. */
type Row = readonly [
  line: `${Component | 'of-fastener' | 'of-defect'}/${Action}`,
  urgency: FollowUpUrgency,
  ...settledBy: SettledBy[],
];

/**
 * Every finding that needs further work: what to do, how soon, and what settles it. Common
 * practice, no published source.
 *
 * A vacuum pulls a leaking lip seal shut, so it settles no pressure test. Belt and cap were
 * looked at themselves, so a new one settles the finding. What a warm-up or a drive showed is a
 * symptom, and has to be seen gone. A low level and a short fill are rechecked within days and
 * not at once: the answer says to fill up and bleed before the vehicle leaves, and the level
 * tells nothing more until the engine has warmed up and cooled down once. A low level that the
 * vehicle itself reports is due at once: nobody has filled it up yet.
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

  'belt-slack': ['drive-belt/adjust', 'at-once', 'belt-tension'],
  'belt-tight': ['drive-belt/adjust', 'soon', 'belt-tension'],
  'belt-new': ['drive-belt/recheck', 'recheck', 'tension-after-run-in'],
  'tensioner-worn': ['tensioner/replace', 'at-once', 'full-tensioner-check', 'new-tensioner'],

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
  conductive: ['coolant/replace', 'at-once', 'conductivity-read'],
  'worn-out': ['coolant/replace', 'soon', 'measured-again'],
  'inhibitors-off': ['coolant/adjust', 'soon', 'measured-again'],
  'condition-failed': ['coolant/test', 'soon', 'measured-again'],

  'other-base': ['coolant/flush', 'at-once', 'flush'],
  'other-technology': ['coolant/test', 'soon', 'condition-read'],

  'inspect-head-gasket': ['head-gasket/test', 'at-once', 'gas-test'],
  'inspect-level': ['coolant/inspect', 'at-once', 'cold-level'],
  'inspect-cap': ['coolant/inspect', 'at-once', 'cap-test', 'new-cap'],
  'inspect-belt': ['coolant/inspect', 'at-once', 'full-belt-check', 'new-belt'],
  'inspect-fan-and-thermostat': ['coolant/inspect', 'at-once', 'warm-up-check'],
  'inspect-strength': ['coolant/inspect', 'at-once', 'freeze-point', 'strength-read'],

  'reported-ran-hot': ['coolant/inspect', 'soon', 'warm-up-check', 'road-test'],
  'reported-runs-cold': ['thermostat/replace', 'soon', 'road-test', 'warm-up-with-new-thermostat'],
  'reported-level-low': ['coolant/inspect', 'at-once', 'cold-level'],
  'reported-level-falling': ['coolant/inspect', 'soon', 'cold-level'],
  'reported-pressure-low': ['coolant/test', 'at-once', 'pressure-test'],
  'reported-pressure-falling': ['coolant/test', 'soon', 'pressure-test'],
  'reported-pressure-high': ['head-gasket/test', 'at-once', 'gas-test'],
  'reported-flow-low': ['water-pump/test', 'at-once', 'warm-up-check'],
  'reported-cooling-performance': ['coolant/inspect', 'soon', 'warm-up-check', 'road-test'],
  'reported-fan-still': ['fan-drive/test', 'at-once', 'warm-up-check'],
  'reported-fan-fast': ['fan-drive/test', 'soon', 'mended-and-gone'],
  'reported-fan-circuit': ['fan-drive/test', 'soon', 'warm-up-check', 'mended-and-gone'],
  'reported-thermostat-stuck': ['thermostat/replace', 'at-once', 'warm-up-check'],
  'reported-thermostat-circuit': ['thermostat/test', 'soon', 'mended-and-gone'],
  'reported-pump-circuit': ['water-pump/test', 'at-once', 'warm-up-check', 'mended-and-gone'],
  'reported-filter-blocked': ['coolant-filter/replace', 'soon', 'new-filter'],
  'reported-not-charging': ['drive-belt/inspect', 'soon', 'full-belt-check', 'new-belt'],
  'reported-temperature-sensor': ['temperature-sensor/test', 'soon', 'new-sensor', 'mended-and-gone'],
  'reported-level-sensor': ['reservoir/test', 'soon', 'mended-and-gone'],
  'reported-pressure-sensor': ['other/test', 'soon', 'mended-and-gone'],
  'reported-transmission-hot': ['oil-cooler/inspect', 'soon', 'road-test', 'mended-and-gone'],

  'defect-reported': ['of-defect/inspect', 'at-once', 'defect-closed'],
  // The triage says the work, and the day where it need not be done at once.
  'defect-triaged': ['of-defect/inspect', 'at-once', 'defect-closed'],
} as const satisfies Record<Finding, Row>;

/** What a finding calls for. */
export interface CalledFor {
  component: Component;
  action: Action;
  urgency: FollowUpUrgency;
  /** Any one of them settles it. */
  settledBy: readonly SettledBy[];
  /** For a mechanic: what is wrong, then what to do. */
  cause: Message;
}

/**
 * The table's row for a finding.
 *
 * @param ofWhat the component that a fastener belongs to, or that a defect is about
 * @example calledForBy('belt-worn') // { component: 'drive-belt', action: 'replace', urgency: 'at-once', … }
 */
export function calledForBy(finding: Finding, ofWhat: Component = 'other'): CalledFor {
  const [line, urgency, ...settledBy]: Row = FOLLOW_UPS[finding];
  const [component, action] = line.split('/') as [Component | 'of-fastener' | 'of-defect', Action];
  return {
    component: component === 'of-fastener' || component === 'of-defect' ? ofWhat : component,
    ...{ action, urgency, settledBy, cause: message(`follow-up-${finding}`) },
  };
}
