import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import type { Message } from '../message.js';
import { requireNotNegative } from '../quantities/plausible.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';

/** An automatic tensioner as it was looked at and measured. */
export interface TensionerCheckReading {
  kind: 'tensioner-check';
  /** Which tensioner, by the name of its belt on the spec sheet. */
  item?: string | null;
  /** Position of the mark between the stops. */
  mark?: 'in-range' | 'out-of-range' | null;
  /** How far the arm swings to and fro at idle, from end to end, mm. */
  armSwingMm?: number | null;
  /** Turned by hand with the belt off: the arm moves evenly and springs back. */
  armMovesFreely?: boolean | null;
  /** Spun by hand with the belt off: the pulley is quiet and does not wobble. */
  pulleyRunsTrue?: boolean | null;
  /** The length unit that was typed. */
  unit?: Unit;
}

/**
 * Judges the wear of an automatic belt tensioner: its mark between the stops, its arm free, its
 * pulley quiet and true, and the swing of its arm within the spec sheet's limit.
 *
 * Source: common practice, no published source; there is no default for the swing of the arm.
 *
 * @param reading mm
 * @param armSwingMaxMm the sheet's limit, mm; null: none
 * @throws ImpossibleValue for a swing below zero.
 * @example evaluateTensionerCheck({ kind: 'tensioner-check', mark: 'out-of-range' }, null).verdict // 'fail'
 */
export function evaluateTensionerCheck(
  reading: TensionerCheckReading,
  armSwingMaxMm: number | null,
): Evaluation {
  const { unit = 'mm', mark, armMovesFreely, pulleyRunsTrue } = reading;
  const swingMm =
    reading.armSwingMm == null ? null : requireNotNegative('armSwing', reading.armSwingMm, 'mm');
  const findings = noFindings();
  const { fails, doubts, remarks } = findings;
  if (mark === 'out-of-range') fails.push(message('tensioner-mark-out-of-range'));
  if (armMovesFreely === false) fails.push(message('tensioner-arm-binds'));
  if (pulleyRunsTrue === false) fails.push(message('tensioner-pulley-worn'));
  if (swingMm !== null && armSwingMaxMm !== null && swingMm > armSwingMaxMm * (1 + 1e-9)) {
    const most = told('size', armSwingMaxMm, unit, 'exact');
    fails.push(message('tensioner-arm-swings', { read: told('size', swingMm, unit), most }));
  }
  if (swingMm !== null && armSwingMaxMm === null)
    remarks.push(message('tensioner-swing-no-limit', { read: told('size', swingMm, unit) }));
  const unseen = unseenOf(reading);
  if (unseen.length === 3) doubts.push(message('tensioner-nothing-checked'));
  else if (unseen.length > 0) remarks.push(message('belt-not-checked', { parts: unseen }));
  return {
    ...conclude(findings, message('tensioner-good')),
    computed: {},
    cautions: cautionsFor('belt-drive'),
    basis: [message('basis-tensioner')],
  };
}

function unseenOf({ mark, armMovesFreely, pulleyRunsTrue }: TensionerCheckReading): Message[] {
  return [
    ...(mark == null ? [message('tensioner-mark')] : []),
    ...(armMovesFreely == null ? [message('tensioner-arm')] : []),
    ...(pulleyRunsTrue == null ? [message('tensioner-pulley')] : []),
  ];
}
