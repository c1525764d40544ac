import type { Whereabouts } from '../atmosphere/atmosphere.js';
import type { CoolantBase } from '../coolant/coolant.js';
import type { CommonPractice } from '../evaluation/common-practice.js';
import type { Unit } from '../quantities/units.js';
import type { HoldTestLimits } from './hold-test-procedure.js';

export const HOLD_TEST_METHODS = ['vacuum', 'pressure'] as const;
export type HoldTestMethod = (typeof HOLD_TEST_METHODS)[number];

/**
 * A vacuum or pressure put on the closed system and read again after a while. Both are gauge
 * readings, both positive.
 */
export interface HoldTestReading {
  kind: 'hold-test';
  method: HoldTestMethod;
  startKpa: number;
  endKpa: number;
  minutes: number;
  /** The pressure unit that was typed, for wording. */
  unit: Unit;
  gaugeResolutionKpa?: number | null;
  coolantTemperatureC?: number | null;
  /** The engine stood long enough to be at air temperature. */
  engineCold?: boolean | null;
  /**
   * Whether coolant was in the system; unsaid, the hottest known temperature counts as if it were.
   */
  wet?: boolean | null;
  startTemperatureC?: number | null;
  endTemperatureC?: number | null;
  /** The temperature unit that was typed, for wording. */
  temperatureUnit?: Unit;
  barometerKpa?: number | null;
}

/** What else a hold test is judged by. */
export interface HoldTestSurroundings extends HoldTestLimits, Whereabouts {
  base?: CoolantBase | null;
  /** Volume %; plain water's vapour pressure is used when unknown. */
  strengthPercent?: number | null;
  /** L of the space under test, for the leak rate. */
  volumeL?: number | null;
  /**
   * Whether a pressure above the limit is refused (it can still be prevented) or recorded (it
   * happened).
   */
  overPressure?: 'refuse' | 'record';
  practice?: CommonPractice;
}
