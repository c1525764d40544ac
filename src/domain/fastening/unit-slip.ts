import type { Message } from '../message.js';
import { convert } from '../quantities/units.js';
import { message } from './messages.js';

const SLIPS = [
  { factor: convert(1, 'ft.lbf', 'in.lbf'), shown: '12', small: 'lbf·in', large: 'lbf·ft' },
  { factor: convert(1, 'N.m', 'in.lbf'), shown: '8.85', small: 'lbf·in', large: 'N·m' },
  { factor: convert(1, 'ft.lbf', 'N.m'), shown: '1.356', small: 'N·m', large: 'lbf·ft' },
] as const;

/**
 * Tells the likely unit slip when every torque of a set misses by one of the factors between the
 * wrench scales: 12, 8.85 or 1.356.
 *
 * Source of the factors: NIST SP 811.
 *
 * @param torquesNm N·m as typed
 * @param minNm N·m
 * @param maxNm N·m
 * @returns null when no factor explains all of them
 * @example unitSlip([132, 132], 9.9, 12.1) // in words: 'All are about 12 times too high …'
 */
export function unitSlip(torquesNm: readonly number[], minNm: number, maxNm: number): Message | null {
  if (torquesNm.length === 0) return null;
  const allWithin = (scale: number) =>
    torquesNm.every((torque) => torque * scale >= minNm && torque * scale <= maxNm);
  for (const { factor, shown, small, large } of SLIPS) {
    if (allWithin(1 / factor)) return slip('above', shown, small, large);
    if (allWithin(factor)) return slip('below', shown, large, small);
  }
  return null;
}

function slip(direction: 'above' | 'below', times: string, taken: string, meant: string): Message {
  return message('torque-set-unit-slip', { times, direction, taken, meant });
}
