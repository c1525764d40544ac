import type { BeltCheckReading } from '../belt/belt-check.js';
import { ALIGNMENT_LIMIT_DEGREES } from '../belt/geometry.js';
import type { RoadTestReading } from '../checks/road-test.js';
import type { WarmUpCheckReading } from '../checks/warm-up-check.js';
import type { CoolantConditionReading } from '../coolant-condition/coolant-condition.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import type { HoldTestReading } from '../pressure/hold-test-reading.js';
import type { Reading } from '../readings.js';
import type { Finding } from './follow-up-table.js';
import { areAdditivesAlone } from './measured-again.js';

type Judgement = Pick<Evaluation, 'verdict' | 'computed'>;

/** What the findings that a coolant condition computed come to. */
const OF_CONDITION: Readonly<Record<string, Finding>> = {
  oil: 'oil',
  rust: 'dirt',
  particles: 'dirt',
  'ph-acid': 'acid',
  'ph-low': 'inhibitors-off',
  'ph-high': 'inhibitors-off',
  'nitrite-low': 'inhibitors-off',
  'nitrite-high': 'inhibitors-off',
  'molybdate-low': 'inhibitors-off',
  'molybdate-high': 'inhibitors-off',
  'sca-low': 'inhibitors-off',
  'sca-high': 'inhibitors-off',
  'reserve-alkalinity-low': 'worn-out',
  'laboratory-limit': 'laboratory-limit',
};

/** What the findings that a road test computed come to. */
const OF_ROAD_TEST: Readonly<Record<string, Finding>> = {
  leak: 'leak-on-the-road',
  lamp: 'warning-lamp',
  overheated: 'overheated',
  'stuck-open': 'thermostat-stuck-open',
};

/**
 * What an evaluated reading found that leaves something to be done; the table says what. Another
 * base comes before all else: no strength can be told until it is out.
 *
 * @returns each finding once; none where the reading passed and nothing wrong was poured in
 * @example findingsOfReading({ kind: 'cap-test', … }, { verdict: 'fail', computed: {} }) // ['cap-failed']
 */
export function findingsOfReading(reading: Reading, judgement: Judgement): Finding[] {
  const { verdict, computed } = judgement;
  if (computed.otherBase === true) return ['other-base'];
  const found: Finding[] =
    verdict === 'fail' ? failuresOf(reading, judgement) : verdict === 'inconclusive' ? doubtsOf(reading) : [];
  if (computed.strengthCheckDue === true) found.push(isWeakFill(reading) ? 'fill-weak' : 'water-poured');
  if (computed.shortensCoolantLife === true) found.push('other-technology');
  return [...new Set(found)];
}

/** Whose result is not known yet, and has to be. */
function doubtsOf(reading: Reading): Finding[] {
  if (reading.kind === 'hold-test')
    return [reading.method === 'pressure' ? 'pressure-test-unclear' : 'vacuum-test-unclear'];
  return reading.kind === 'freeze-point' ? ['strength-unclear'] : [];
}

function failuresOf(reading: Reading, { computed }: Judgement): Finding[] {
  switch (reading.kind) {
    case 'hold-test':
      return ofHoldTest(reading, computed);
    case 'freeze-point':
      return ['strength-wrong'];
    case 'torque-set':
      return ['torque-wrong'];
    case 'fill':
      return ['fill-short'];
    case 'warm-up-check':
      return ofWarmUp(reading);
    case 'belt-check':
      return ofBelt(reading, computed);
    case 'level-check':
      return ['level-low'];
    case 'coolant-condition':
      return ofCondition(reading, computed);
    case 'cap-test':
      return ['cap-failed'];
    case 'combustion-gas-test':
      return ['combustion-gas'];
    case 'road-test':
      return named(computed.findings, OF_ROAD_TEST) ?? ofRoadTest(reading);
    case 'top-up':
      return [];
  }
}

/** Null where a reading does not name its findings, or none that counts here. */
function named(
  findings: Evaluation['computed'][string] | undefined,
  known: Readonly<Record<string, Finding>>,
): Finding[] | null {
  if (!Array.isArray(findings)) return null;
  const found = findings.flatMap((name) => (typeof name === 'string' ? (known[name] ?? []) : []));
  return found.length === 0 ? null : found;
}

function ofWarmUp(check: WarmUpCheckReading): Finding[] {
  const found: Finding[] = [];
  if (check.leakSeen === true) found.push('leak-at-warm-up');
  if (check.thermostatOpened === false) found.push('thermostat-shut');
  if (check.fanCycled === false) found.push('fan-dead');
  const isAirTrapped =
    check.heatAtVents === false ||
    check.temperatureSteady === false ||
    check.levelAfterCooling === 'below-mark';
  if (isAirTrapped || found.length === 0) found.push('warm-up-failed');
  return found;
}

function ofBelt(check: BeltCheckReading, computed: Evaluation['computed']): Finding[] {
  const found: Finding[] = [];
  if (check.wearGauge === 'worn') found.push('belt-worn');
  if (check.contaminated === true) found.push('belt-contaminated');
  const { alignmentDegrees } = computed;
  const isOutOfPlace =
    check.ribsSeated === false ||
    (check.pulleys ?? []).some(({ ribsSeated }) => !ribsSeated) ||
    check.tensionerInRange === false ||
    (typeof alignmentDegrees === 'number' && alignmentDegrees > ALIGNMENT_LIMIT_DEGREES * (1 + 1e-9));
  if (isOutOfPlace || found.length === 0) found.push('belt-out-of-place');
  return found;
}

// A weak fill is inconclusive; one of water alone says so itself.
function isWeakFill(reading: Reading): boolean {
  return reading.kind === 'fill' && reading.strengthPercent !== 0;
}

function ofHoldTest(
  { method }: HoldTestReading,
  { overPressured, lostTooMuch }: Evaluation['computed'],
): Finding[] {
  if (method !== 'pressure') return ['vacuum-test-failed'];
  if (overPressured !== true) return ['pressure-test-failed'];
  return lostTooMuch === true ? ['pressure-test-failed', 'over-pressured'] : ['over-pressured'];
}

/**
 * What a laboratory found outside its limits is mended by an additive where it is one of the
 * inhibitors, else by a flush.
 */
function ofCondition(reading: CoolantConditionReading, { findings }: Evaluation['computed']): Finding[] {
  const found = named(findings, OF_CONDITION) ?? ofAppearance(reading);
  if (!areAdditivesAlone(reading)) return found;
  return found.map((finding) => (finding === 'laboratory-limit' ? 'inhibitors-off' : finding));
}

function ofAppearance({ appearance }: CoolantConditionReading): Finding[] {
  if (appearance === 'oily') return ['oil'];
  if (appearance === 'rusty' || appearance === 'particles') return ['dirt'];
  return ['condition-failed'];
}

function ofRoadTest({ leakSeen, warningLamp }: RoadTestReading): Finding[] {
  const found: Finding[] = [];
  if (leakSeen === true) found.push('leak-on-the-road');
  if (warningLamp === true) found.push('warning-lamp');
  return found.length === 0 ? ['overheated'] : found;
}
