import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import { measure } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import { plain, say } from '../quantities/wording.js';
import { parseBeltDesignation, PK_RIB_PITCH_MM } from './designation.js';
import { ALIGNMENT_LIMIT_DEGREES, alignmentDegrees, slipPercent } from './geometry.js';

/** What was measured on a belt drive; mm and rpm. Null and absent mean not measured. */
export interface BeltMeasurements {
  offsetMm?: number | null;
  spanMm?: number | null;
  driverDiameterMm?: number | null;
  drivenDiameterMm?: number | null;
  driverRpm?: number | null;
  drivenRpm?: number | null;
}

/** A belt as it was looked at. */
export interface BeltCheckReading extends BeltMeasurements {
  kind: 'belt-check';
  /** The belt's name on the spec sheet. */
  item?: string | null;
  ribsSeated?: boolean | null;
  /** Where the pulleys were looked at one by one. */
  pulleys?: readonly { name: string; ribsSeated: boolean }[] | null;
  wearGauge?: 'ok' | 'worn' | null;
  tensionerInRange?: boolean | null;
  contaminated?: boolean | null;
  /** The length unit that was typed, for wording. */
  unit?: Unit;
}

/**
 * Judges a belt: seated on every pulley, in line, not worn, tensioner in its range, clean. No
 * standard has a numeric wear limit, so the gauge's own word counts.
 *
 * Source: SAE J1596 for the alignment, 0.58 mm in 100 mm (0.33°); the rest is common practice.
 *
 * @param reading mm and rpm
 * @param designation as on the spec sheet, or null
 * @returns computed: `ribs`, `effectiveLength`, `width`, `alignmentDegrees`, `slipPercent`, each
 * null where not known
 * @throws ImpossibleValue for lengths or speeds that are not above zero.
 * @example evaluateBeltCheck({ kind: 'belt-check', ribsSeated: true, offsetMm: 0.5, spanMm: 220, wearGauge: 'ok' }, '6PK1880').verdict // 'pass'
 */
export function evaluateBeltCheck(reading: BeltCheckReading, designation: string | null = null): Evaluation {
  const findings = noFindings();
  const { fails, doubts, remarks } = findings;
  const measured = measureBelt(reading, designation);
  const alignment = measured.alignment;
  const unseated = (reading.pulleys ?? []).filter((pulley) => !pulley.ribsSeated);
  if (unseated.length > 0) fails.push(`Ribs not seated on ${unseated.map(({ name }) => name).join(', ')}.`);
  else if (reading.ribsSeated === false) fails.push('Ribs not seated in their grooves.');
  if (alignment !== null && alignment > ALIGNMENT_LIMIT_DEGREES * (1 + 1e-9)) {
    fails.push(
      `Out of line by ${plain(alignment)}° (${say(Math.abs(reading.offsetMm!), 'mm', reading.unit)} over ${say(reading.spanMm!, 'mm', reading.unit)}); the limit is 0.33°.`,
    );
  }
  if (reading.wearGauge === 'worn') fails.push('Worn by the gauge: replace the belt.');
  if (reading.tensionerInRange === false)
    fails.push('The tensioner is out of its range: check belt length and tensioner.');
  if (reading.contaminated === true)
    fails.push('Oil or coolant on the belt: find where it comes from, then replace the belt.');
  if (measured.slip !== null && measured.slip < -0.5)
    doubts.push(
      `The driven pulley turns faster than the belt can drive it (slip ${plain(measured.slip)} %): are the two speeds or diameters swapped?`,
    );

  const seatedSeen = reading.ribsSeated != null || (reading.pulleys ?? []).length > 0;
  const unseen = [
    ...(seatedSeen ? [] : ['ribs seated']),
    ...(alignment === null ? ['alignment'] : []),
    ...(reading.wearGauge == null ? ['wear'] : []),
  ];
  if (unseen.length === 3) doubts.push('Nothing was checked: look at ribs, alignment and wear.');
  else if (unseen.length > 0) remarks.push(`Not checked: ${unseen.join(', ')}.`);
  return {
    ...conclude(findings, 'The belt is as it should be, as far as it was checked.'),
    computed: measured.computed,
    cautions: cautionsFor('belt-drive'),
    basis: measured.basis,
  };
}

/** Belt sums to be made without a spec sheet. */
export interface BeltInput extends BeltMeasurements {
  designation?: string | null;
  /** The length unit that was typed, for wording. */
  unit?: Unit;
}

/**
 * Designation, alignment and slip, each where its numbers are given. The verdict is on the
 * alignment alone: slip has no limit.
 *
 * @param input mm and rpm
 * @returns computed: `ribs`, `effectiveLength`, `width`, `alignmentDegrees`, `slipPercent`, each
 * null where not known
 * @throws ImpossibleValue for lengths or speeds that are not above zero, or a PK designation that
 *   cannot be.
 * @example calculateBelt({ designation: '6PK1880' }).computed.ribs // 6
 */
export function calculateBelt(input: BeltInput): Evaluation {
  const measured = measureBelt(input, input.designation ?? null);
  const { alignment, slip } = measured;
  const inLine = alignment === null ? null : alignment <= ALIGNMENT_LIMIT_DEGREES * (1 + 1e-9);
  const reasons: string[] = [];
  if (alignment !== null)
    reasons.push(`${inLine ? 'In line' : 'Out of line'}: ${plain(alignment)}°, at most 0.33°.`);
  if (slip !== null) reasons.push(`The belt slips ${plain(slip)} %; there is no limit to judge slip by.`);
  if (slip !== null && slip < -0.5)
    reasons.push('A negative slip is a wrong reading: are the two speeds or diameters swapped?');
  if (measured.remark !== null) reasons.push(measured.remark);
  return {
    verdict: inLine === null ? null : inLine ? 'pass' : 'fail',
    reasons,
    computed: measured.computed,
    cautions: cautionsFor('belt-drive'),
    basis: measured.basis,
  };
}

function measureBelt(measurements: BeltMeasurements, designation: string | null) {
  const belt = designation === null ? null : parseBeltDesignation(designation);
  const { offsetMm, spanMm, driverDiameterMm, drivenDiameterMm, driverRpm, drivenRpm } = measurements;
  const alignment = offsetMm == null || spanMm == null ? null : alignmentDegrees(offsetMm, spanMm);
  const slip =
    driverDiameterMm == null || drivenDiameterMm == null || driverRpm == null || drivenRpm == null
      ? null
      : slipPercent({ driverDiameterMm, drivenDiameterMm }, driverRpm, drivenRpm);
  const basis: string[] = [];
  if (belt?.profile === 'PK')
    basis.push(`PK profile: ribs ${PK_RIB_PITCH_MM} mm apart, effective length in mm (ISO 9981, ISO 9982)`);
  if (alignment !== null)
    basis.push('alignment = atan(offset/span), limit 0.58 mm in 100 mm = 0.33° (SAE J1596)');
  if (slip !== null) basis.push('slip = 100·(1 - N2·d2/(N1·d1))');
  return {
    alignment,
    slip,
    basis,
    remark:
      belt !== null && belt.profile === null
        ? `${belt.text} is not a PK designation and is kept as text.`
        : null,
    computed: {
      ribs: belt?.ribs ?? null,
      effectiveLength: belt?.effectiveLengthMm == null ? null : measure('size', belt.effectiveLengthMm),
      width: belt?.widthMm == null ? null : measure('size', belt.widthMm),
      alignmentDegrees: alignment,
      slipPercent: slip,
    },
  };
}
