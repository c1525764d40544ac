import { convert } from '../quantities/units.js';

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
 * @returns a sentence, or null when no factor explains all of them
 * @example unitSlip([132, 132], 9.9, 12.1) // 'All are about 12 times too much …'
 */
export function unitSlip(torquesNm: readonly number[], minNm: number, maxNm: number): string | null {
  if (torquesNm.length === 0) return null;
  const allWithin = (scale: number) =>
    torquesNm.every((torque) => torque * scale >= minNm && torque * scale <= maxNm);
  for (const { factor, shown, small, large } of SLIPS) {
    if (allWithin(1 / factor))
      return `All are about ${shown} times too much: probably ${small} taken for ${large}. Check the unit on the wrench first.`;
    if (allWithin(factor))
      return `All are about ${shown} times too little: probably ${large} taken for ${small}. Check the unit on the wrench first.`;
  }
  return null;
}
