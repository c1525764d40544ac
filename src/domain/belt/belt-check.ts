import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import { measure } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import { parseBeltDesignation, PK_RIB_PITCH_MM } from './designation.js';
import { ALIGNMENT_LIMIT_DEGREES, alignmentDegrees, slipPercent } from './geometry.js';
import { message } from './messages.js';

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
  /** The length unit that was typed. */
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
  if (unseated.length > 0)
    fails.push(message('belt-ribs-not-seated-on', { pulleys: unseated.map(({ name }) => name) }));
  else if (reading.ribsSeated === false) fails.push(message('belt-ribs-not-seated'));
  if (alignment !== null && alignment > ALIGNMENT_LIMIT_DEGREES * (1 + 1e-9)) {
    fails.push(
      message('belt-out-of-line', {
        angle: alignment,
        offset: told('size', Math.abs(reading.offsetMm ?? 0), reading.unit ?? 'mm'),
        span: told('size', reading.spanMm ?? 0, reading.unit ?? 'mm'),
      }),
    );
  }
  if (reading.wearGauge === 'worn') fails.push(message('belt-worn'));
  if (reading.tensionerInRange === false) fails.push(message('belt-tensioner-out-of-range'));
  if (reading.contaminated === true) fails.push(message('belt-contaminated'));
  if (measured.slip !== null && measured.slip < -0.5)
    doubts.push(message('belt-driven-too-fast', { slip: measured.slip }));

  const seatedSeen = reading.ribsSeated != null || (reading.pulleys ?? []).length > 0;
  const unseen = [
    ...(seatedSeen ? [] : [message('belt-ribs-seated')]),
    ...(alignment === null ? [message('belt-alignment')] : []),
    ...(reading.wearGauge == null ? [message('belt-wear')] : []),
  ];
  if (unseen.length === 3) doubts.push(message('belt-nothing-checked'));
  else if (unseen.length > 0) remarks.push(message('belt-not-checked', { parts: unseen }));
  return {
    ...conclude(findings, message('belt-good')),
    computed: measured.computed,
    cautions: cautionsFor('belt-drive'),
    basis: measured.basis,
  };
}

/** Belt sums to be made without a spec sheet. */
export interface BeltInput extends BeltMeasurements {
  designation?: string | null;
  /** The length unit that was typed. */
  unit?: Unit;
}

/**
 * Designation, alignment and slip, each where its numbers are given. The verdict is on the
 * alignment alone: slip has no limit.
 *
 * @param input mm and rpm
 * @returns computed: `ribs`, `effectiveLength`, `width`, `alignmentDegrees`, `slipPercent`, each
 * null where not known
 * @throws ImpossibleValue for lengths or speeds that are not above zero, or an impossible PK
 * designation.
 * @example calculateBelt({ designation: '6PK1880' }).computed.ribs // 6
 */
export function calculateBelt(input: BeltInput): Evaluation {
  const measured = measureBelt(input, input.designation ?? null);
  const { alignment, slip } = measured;
  const inLine = alignment === null ? null : alignment <= ALIGNMENT_LIMIT_DEGREES * (1 + 1e-9);
  const reasons: Message[] = [];
  if (alignment !== null)
    reasons.push(message('belt-alignment-angle', { isInLine: inLine ? 'yes' : 'no', angle: alignment }));
  if (slip !== null) reasons.push(message('belt-slip', { slip }));
  if (slip !== null && slip < -0.5) reasons.push(message('belt-slip-negative'));
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
  const basis: Message[] = [];
  if (belt?.profile === 'PK') basis.push(message('basis-belt-profile', { pitch: PK_RIB_PITCH_MM }));
  if (alignment !== null) basis.push(message('basis-belt-alignment'));
  if (slip !== null) basis.push(message('basis-belt-slip'));
  return {
    alignment,
    slip,
    basis,
    remark:
      belt !== null && belt.profile === null
        ? message('belt-designation-kept', { designation: belt.text })
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
