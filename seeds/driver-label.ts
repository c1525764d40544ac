import type { Api } from './api.js';

/** What the label on a vehicle leads a driver to. */
export interface DriverLabel {
  unitNumber: string;
  /** Without the origin: the label names the address at which it was asked for. */
  path: string;
}

/** The first label of the fleet; null when nobody made any. */
export async function driverLabel(api: Api): Promise<DriverLabel | null> {
  const { items } = await api.get<{ items: { unitNumber: string; address: string }[] }>(
    '/v1/vehicle-labels?limit=1',
  );
  const [label] = items;
  return label ? { unitNumber: label.unitNumber, path: new URL(label.address).pathname } : null;
}
