import type { Unit } from './units.js';

/**
 * The division to which a person can measure, by unit: the marks on a jug, a gauge, a thermometer,
 * a torque wrench. Common practice, no published source. The exact value stays in the field beside
 * the sentence.
 */
export const DIVISIONS: Readonly<Partial<Record<Unit, number>>> = {
  qt: 0.5,
  pt: 0.5,
  'fl.oz': 1,
  gal: 0.1,
  L: 0.1,
  mL: 10,
  psi: 0.5,
  inHg: 0.5,
  kPa: 1,
  mbar: 10,
  F: 1,
  C: 1,
  'ft.lbf': 0.1,
  'in.lbf': 1,
  'N.m': 0.1,
  N: 1,
  lbf: 0.5,
  kgf: 0.1,
  ft: 1,
  m: 1,
  mi: 1,
  km: 1,
  '%': 0.5,
};
