import type { Component } from '../../intervals/types.js';
import { instantMs } from '../facts/usage-span.js';

/** One part in one vehicle, from the job that fitted it to the one that took it out. */
export interface PartFitting {
  /** The job report that fitted it; for a part fitted at the works any id of its own. */
  factId: string;
  vehicleId: string;
  component: Component;
  partNumber: string | null;
  /** Null where no batch was noted: such parts count as running, and are never accused. */
  lot: string | null;
  fittedAt: string;
  fittedOdometerKm: number;
  /**
   * When it came out, or the vehicle's last usage reading while it is in; and the odometer then.
   */
  lastAt: string;
  lastOdometerKm: number;
  isRemoved: boolean;
  /** When this vehicle's other loss alerts were raised. */
  alertsRaisedAt: readonly string[];
}

export interface Exposure {
  fitting: PartFitting;
  /** The batch by its full name. */
  subject: string;
  fittedMs: number;
  lastMs: number;
  /**
   * The first alert while the part was in; later ones of the same vehicle are most often the same
   * trouble.
   */
  alertMs: number | null;
}

/**
 * Kilometres run with a part up to an instant, the odometer interpolated between fitting and last
 * reading; none after its first alert.
 */
export function kmUntil(exposure: Exposure, ms: number): number {
  const { fitting, fittedMs, lastMs, alertMs } = exposure;
  const whole = Math.max(0, fitting.lastOdometerKm - fitting.fittedOdometerKm);
  const endMs = Math.min(ms, lastMs, alertMs ?? Infinity);
  return lastMs <= fittedMs || endMs <= fittedMs ? 0 : (whole * (endMs - fittedMs)) / (lastMs - fittedMs);
}

export function exposureOf(fitting: PartFitting): Exposure {
  const fittedMs = instantMs(fitting.fittedAt);
  const lastMs = instantMs(fitting.lastAt);
  const untilMs = fitting.isRemoved ? lastMs : Infinity;
  const alerts = fitting.alertsRaisedAt.map(instantMs).filter((ms) => ms > fittedMs && ms <= untilMs);
  return {
    fitting,
    subject: subjectOf(fitting),
    fittedMs,
    lastMs,
    alertMs: alerts.length === 0 ? null : Math.min(...alerts),
  };
}

/** An order that does not depend on how the fittings were listed. */
export function inFittingOrder(exposures: readonly Exposure[]): Exposure[] {
  return exposures
    .map((exposure) => ({
      exposure,
      name: `${exposure.fitting.vehicleId} ${exposure.fitting.factId} ${exposure.subject}`,
    }))
    .sort((a, b) => a.exposure.fittedMs - b.exposure.fittedMs || (a.name < b.name ? -1 : 1))
    .map(({ exposure }) => exposure);
}

/** A batch by component, part number and its own number, which two makers may both have used. */
function subjectOf(fitting: PartFitting): string {
  return [fitting.component, fitting.partNumber ?? '', fitting.lot ?? ''].map(encodeURIComponent).join(':');
}
