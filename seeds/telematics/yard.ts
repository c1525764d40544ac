import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Lifetime } from '../../src/startup.js';
import type { Api } from '../api.js';
import { type Basis, LOADER, type Shown, snapshotAt } from './machines.js';

const SOURCE = 'Yard machines';
const MS_PER_MINUTE = 60_000;

/** The server that the machines of the demonstration report to, on this machine only. */
export interface Yard {
  address: string;
  /** Until it is told what the machines go on from, it answers 503. */
  goOnFrom: (basis: Basis) => void;
}

/** Starts the server. It closes after everything that was opened later. */
export async function openYard(lifetime: Lifetime): Promise<Yard> {
  let basis: Basis | null = null;
  const server = createServer((_request, reply) => {
    reply.writeHead(basis ? 200 : 503, { 'content-type': 'application/json' });
    reply.end(basis ? JSON.stringify(snapshotAt(Date.now(), basis)) : undefined);
  });
  await lifetime.opening(listening(server), () => closed(server));
  const { port } = server.address() as AddressInfo;
  return { address: `http://127.0.0.1:${port}/Fleet/1`, goOnFrom: (given) => void (basis = given) };
}

const listening = (server: Server): Promise<void> =>
  new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', resolve);
  });

async function closed(server: Server): Promise<void> {
  const closing = new Promise((resolve) => server.close(resolve));
  server.closeAllConnections();
  await closing;
}

/** Adds the server to a new fleet as a source, which the service polls from then on. */
export async function addSource(manager: Api, { address, goOnFrom }: Yard, now: number): Promise<void> {
  const { items } = await manager.get<{ items: { id: string }[] }>(
    `/v1/vehicles?unitNumber=${LOADER.unitNumber}`,
  );
  const { lastReading } = await manager.get<{
    lastReading: { readAt: string; engineHours: { value: number } | null } | null;
  }>(`/v1/vehicles/${items[0]?.id}/usage`);
  const known = new Map<string, Shown>();
  if (lastReading?.engineHours)
    known.set(LOADER.serialNumber, {
      hours: lastReading.engineHours.value,
      at: Date.parse(lastReading.readAt),
    });
  goOnFrom({ known, levelLowAt: now - 40 * MS_PER_MINUTE });
  await manager.post('/v1/telematics-sources', { name: SOURCE, kind: 'iso-15143-3', address });
}

interface Machine {
  serialNumber: string | null;
  reportedAt: string | null;
  engineHours: { value: number } | null;
}

/**
 * Gives the source of an earlier start the server's new address. Does nothing if somebody removed
 * the source.
 */
export async function moveSource(manager: Api, { address, goOnFrom }: Yard): Promise<void> {
  const { items } = await manager.get<{ items: { id: string; name: string; paused: boolean }[] }>(
    '/v1/telematics-sources?limit=200',
  );
  const source = items.find(({ name }) => name === SOURCE);
  if (!source) return;
  const path = `/v1/telematics-sources/${source.id}`;
  const { items: machines } = await manager.get<{ items: Machine[] }>(`${path}/machines?limit=200`);
  const known = new Map<string, Shown>();
  for (const { serialNumber, reportedAt, engineHours } of machines)
    if (serialNumber !== null && reportedAt !== null && engineHours !== null)
      known.set(serialNumber, { hours: engineHours.value, at: Date.parse(reportedAt) });
  goOnFrom({ known, levelLowAt: null });
  await manager.patch(path, { address });
  if (!source.paused) await manager.post(`${path}/poll`, {});
}
