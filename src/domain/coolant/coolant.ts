import type { Message } from '../message.js';
import { message } from './messages.js';

/** What lowers the freeze point. Two bases are never mixed: no scale reads the mixture. */
export type CoolantBase = 'ethylene-glycol' | 'propylene-glycol';

/**
 * The corrosion inhibitors: inorganic, organic acid, hybrid, phosphated, silicated, nitrited
 * organic acid; and low-conductivity coolant, for circuits beside high voltage.
 */
export type CoolantTechnology = 'IAT' | 'OAT' | 'HOAT' | 'P-OAT' | 'Si-OAT' | 'NOAT' | 'low-conductivity';

export const COOLANT_BASES: readonly CoolantBase[] = ['ethylene-glycol', 'propylene-glycol'];
export const COOLANT_TECHNOLOGIES: readonly CoolantTechnology[] = [
  'IAT',
  'OAT',
  'HOAT',
  'P-OAT',
  'Si-OAT',
  'NOAT',
  'low-conductivity',
];

/** Coolant poured in since the system was last emptied and refilled. */
export interface Poured {
  base: CoolantBase | null;
  technology: CoolantTechnology | null;
  volumeL: number;
}

/** A base as a term. @example baseTerm('ethylene-glycol') // in words: 'ethylene glycol' */
export function baseTerm(base: CoolantBase): Message {
  return message(base);
}
