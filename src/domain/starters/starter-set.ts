import type { CoolantBase, CoolantTechnology } from '../coolant/coolant.js';
import type { IntervalRule } from '../intervals/types.js';
import type { Message } from '../message.js';
import type { CircuitName } from '../vehicles/circuits.js';
import type { StarterSetCode } from './messages.js';

/** A value of a ready-made sheet, with what it rests on and why it is so. */
export interface Stated<T> {
  value: T;
  basis: Message;
  why: Message;
}

/** What a ready-made sheet can say of a circuit, in canonical units. */
export interface StarterCircuitValues {
  coolantBase: Stated<CoolantBase>;
  coolantTechnology: Stated<CoolantTechnology>;
  capacityL: Stated<number>;
  targetStrengthPercent?: Stated<number>;
  strengthMaxPercent?: Stated<number>;
  capRatingKpa?: Stated<number>;
  coolantCondition?: Stated<{ heavyDuty: boolean; wetLiners: boolean }>;
  holdTestMethod?: Stated<'pressure'>;
  holdTestMinutes?: Stated<number>;
  holdTestAllowedLossKpa?: Stated<number>;
}

export interface StarterCircuit {
  circuit: CircuitName;
  values: StarterCircuitValues;
}

export interface StarterInterval {
  rule: IntervalRule;
  basis: Message;
  why: Message;
}

/**
 * A generic beginning for one kind of vehicle: a spec sheet and an interval plan of common
 * practice, to be replaced by the maker's figures.
 */
export interface StarterSet {
  code: StarterSetCode;
  /** The first circuit first. */
  circuits: readonly [StarterCircuit, ...StarterCircuit[]];
  hoses: readonly string[];
  intervals: readonly StarterInterval[];
  /** What is not given, and where to find it. */
  leftOut: readonly Message[];
  cautions: readonly Message[];
}
