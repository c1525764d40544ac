import type { components } from '../../../../typescript/src/client.js';

export type UsageReading = components['schemas']['UsageReadingView'];

export const STATES = [
  ...['held', 'accepted', 'discarded', 'voided'],
] as const satisfies UsageReading['status'][];
