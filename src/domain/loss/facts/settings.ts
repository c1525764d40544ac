import { COMMON_PRACTICE, HOURS_PER_1000_KM } from '../../evaluation/common-practice.js';

/**
 * The limits of the loss watch. Those marked (cp) are common practice without a published source;
 * of them a fleet may set how well a level is known.
 */
export interface LossSettings {
  /** Used as the capacity if a vehicle has no spec sheet, in L (cp). */
  assumedCapacityL: number;
  /**
   * Standard uncertainty of a cold level reading: the larger of L and a share of capacity (cp), as
   * a level check is judged by.
   */
  levelNoiseL: number;
  levelNoiseShare: number;

  /** Two top-ups belong together within min(mostDays, max(days, km, hours)) (cp). */
  topUpWindow: { days: number; km: number; hours: number; mostDays: number };
  topUpsApartHours: number;
  /** Top-ups together, and one loss by itself, as shares of capacity (cp). */
  topUpsShare: number;
  singleLossShare: number;
  /**
   * A single level shows a large loss only beyond this many standard uncertainties of a difference
   * of two levels (cp).
   */
  singleLossSigmas: number;
  /**
   * The first top-up within this many running days of a fill is settling, up to a share of capacity
   * (cp).
   */
  settlingDays: number;
  settlingShare: number;

  /**
   * Distance or engine hours that close a block of the CUSUM, and what 1,000 km are worth in engine
   * hours (cp).
   */
  blockKm: number;
  blockHours: number;
  hoursPer1000Km: number;
  /** Two heat cycles after a fill, in days and km or hours (cp). */
  heatCycles: { days: number; km: number; hours: number };
  /**
   * How many levels of a block are averaged at most: neighbouring readings share their errors (cp).
   */
  mostLevelsAveraged: number;
  /**
   * Usual loss and its spread, in L per 1,000 km, where a cohort has none, and the least that a
   * cohort may have (cp).
   */
  floorMu0: number;
  floorSigma: number;
  /**
   * How many days back a cohort looks, and how far it must move to count, as a share of its spread
   * (cp).
   */
  cohortDays: number;
  cohortChangeShare: number;
  /**
   * Slack of the tabular CUSUM in standard deviations, and the distance in which its sum, and one
   * level by itself, may be wrong once, in km (cp).
   */
  cusumSlack: number;
  falseAlarmKm: number;

  /** Unrecorded water that is too little to speak of, as a share of capacity (cp). */
  waterShare: number;
  /**
   * How far a vehicle runs before what was poured in has mixed (cp); the days count only where
   * usage is unknown.
   */
  mixing: { km: number; hours: number; days: number };

  holdTestsAtLeast: number;
  holdTrendP: number;
  /** The last rate must exceed this share of the allowed rate (cp). */
  holdTrendShare: number;

  /** A part replaced again before all of these have passed has come back early (cp). */
  earlyReturn: { months: number; km: number; hours: number };

  partLotP: number;
  partLotVehicles: number;

  /** A cold level at the mark proves a repair after this long (cp). */
  proof: { days: number; km: number; hours: number };
  /** A loss within this many days of clearing raises the alert again (cp). */
  returnDays: number;
}

export const LOSS_DEFAULTS: LossSettings = {
  assumedCapacityL: 10,
  levelNoiseL: COMMON_PRACTICE.levelUncertaintyL,
  levelNoiseShare: COMMON_PRACTICE.levelUncertaintyShareOfCapacity,
  topUpWindow: { days: 30, km: 5000, hours: 150, mostDays: 90 },
  topUpsApartHours: 24,
  topUpsShare: 0.05,
  singleLossShare: 0.1,
  singleLossSigmas: 4,
  settlingDays: 7,
  settlingShare: 0.05,
  blockKm: 1200,
  blockHours: 30,
  hoursPer1000Km: HOURS_PER_1000_KM,
  heatCycles: { days: 2, km: 100, hours: 2.5 },
  mostLevelsAveraged: 6,
  floorMu0: 0.01,
  floorSigma: 0.02,
  cohortDays: 730,
  cohortChangeShare: 0.25,
  cusumSlack: 1.25,
  falseAlarmKm: 7_000_000,
  waterShare: 0.03,
  mixing: { km: 50, hours: 1.25, days: 1 },
  holdTestsAtLeast: 5,
  holdTrendP: 0.01,
  holdTrendShare: 0.5,
  earlyReturn: { months: 12, km: 20_000, hours: 500 },
  partLotP: 0.01,
  partLotVehicles: 3,
  proof: { days: 7, km: 500, hours: 10 },
  returnDays: 30,
};
