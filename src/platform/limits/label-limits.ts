import { Injectable } from '@nestjs/common';
import type { LabelSettings } from '../config/label-settings.js';
import { addressKey } from './address-limits.js';
import { Allowance } from './allowance.js';
import { message } from './messages.js';
import type { RateStore } from './rate-store.js';
import { tooMany } from './too-many.js';

/**
 * Limits what people without an account send by the labels on vehicles: requests by the address
 * they come from, and reports by vehicle.
 */
@Injectable()
export class LabelLimits {
  private requests: Allowance | null = null;
  private reports: Allowance | null = null;

  /** Begins to count. @param store counts for all processes together */
  countIn(store: RateStore, { requestsPerMinute, reportsPerMinute }: LabelSettings): void {
    this.requests = requestsPerMinute > 0 ? new Allowance(store, requestsPerMinute, 'label-address') : null;
    this.reports = reportsPerMinute > 0 ? new Allowance(store, reportsPerMinute, 'label') : null;
  }

  /** Counts a request, whether or not its label exists. @throws Problem 429 */
  async countRequest(ip: string): Promise<void> {
    await take(this.requests, addressKey(ip));
  }

  /** Counts a report about a vehicle. @throws Problem 429 */
  async countReport(vehicleId: string): Promise<void> {
    await take(this.reports, vehicleId);
  }
}

async function take(allowance: Allowance | null, key: string): Promise<void> {
  const standing = await allowance?.take(key);
  if (standing === undefined || standing.allowed) return;
  const detail = message('too-many-by-label', { seconds: standing.resetSeconds });
  throw tooMany(standing, 'too-many-requests', detail);
}
