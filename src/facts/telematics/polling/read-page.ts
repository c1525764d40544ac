import type { TelematicsSource } from '../../../entities/telematics-source.entity.js';
import {
  readIso15143FaultsJson,
  readIso15143FaultsXml,
  readIso15143Json,
  readIso15143Xml,
} from '../documents/iso-15143.js';
import {
  type MachineIdentity,
  type MachineReport,
  type SourcePage,
  UnreadableDocument,
} from '../documents/machine-report.js';
import { nextRfmsPage, readRfmsStatuses } from '../documents/rfms.js';
import { message } from '../messages.js';
import { PollFailure } from './poll-failure.js';
import type { SourceAnswer } from './source-client.js';

const MS_PER_MINUTE = 60_000;
/** After a longer gap only the latest status of each vehicle is asked for. */
const LONGEST_GAP_MS = 24 * 60 * MS_PER_MINUTE;

type Asked = Pick<TelematicsSource, 'kind' | 'address' | 'resumeAt' | 'completeSince'>;

/** What a source is asked to answer with. */
export function acceptedBy(kind: TelematicsSource['kind']): string {
  // rFMS names the resource and its version in the media type (from memory of rFMS 4).
  return kind === 'rfms-4'
    ? 'application/json; rfms=vehiclestatuses.v4.0'
    : 'application/xml, application/json;q=0.9';
}

/**
 * The address at which a poll begins: where the last one had to stop, or else the source's own.
 *
 * An rFMS source is asked for what has arrived at its server since the last poll, and the first
 * time for the latest status of each vehicle: `latestOnly`, `datetype` and `starttime` are
 * parameters of `GET /vehiclestatuses`.
 */
export function firstAddress({ kind, address, resumeAt, completeSince }: Asked, now: Date): URL {
  const first = new URL(address ?? '');
  // The sign-in is for the server of the address, and for no other.
  if (resumeAt !== null && new URL(resumeAt).origin === first.origin) return new URL(resumeAt);
  if (kind !== 'rfms-4') return first;
  const since = completeSince?.getTime() ?? 0;
  if (now.getTime() - since > LONGEST_GAP_MS) first.searchParams.set('latestOnly', 'true');
  else {
    first.searchParams.set('datetype', 'received');
    first.searchParams.set('starttime', new Date(since).toISOString());
  }
  return first;
}

/** A page, and the server's own clock where it tells it. */
export interface PolledPage extends SourcePage {
  serverAt: number | null;
}

/** Reads a page. @throws PollFailure when it cannot be read as a whole */
export async function readPage(
  kind: TelematicsSource['kind'],
  asked: URL,
  { bytes, headers }: SourceAnswer,
): Promise<PolledPage> {
  try {
    if (kind === 'rfms-4') {
      const page = await readRfmsStatuses(bytes);
      return { ...page, next: nextRfmsPage(asked, page) };
    }
    const isInJson = isJson(headers['content-type'], bytes);
    const page = await (isInJson ? readIso15143Json(bytes) : readIso15143Xml(bytes));
    return { ...page, serverAt: null };
  } catch (error) {
    if (!(error instanceof UnreadableDocument)) throw error;
    throw new PollFailure(message('poll-unreadable', { why: error.why }), { isLinkAtFault: true });
  }
}

/**
 * Reads a page of one machine's fault codes. @throws PollFailure when it cannot be read as a whole
 */
export async function readFaults(
  { vin, serialNumber, equipmentId, make, model }: MachineIdentity,
  { bytes, headers }: SourceAnswer,
): Promise<{ report: MachineReport; next: string | null }> {
  try {
    const isInJson = isJson(headers['content-type'], bytes);
    const { faults, refused, next } = await (isInJson
      ? readIso15143FaultsJson(bytes)
      : readIso15143FaultsXml(bytes));
    const identity = { vin, serialNumber, equipmentId, make, model };
    const report = { identity, odometerKm: [], engineHours: [], coolantC: [], faults, refused };
    return { report, next };
  } catch (error) {
    if (!(error instanceof UnreadableDocument)) throw error;
    throw new PollFailure(message('poll-unreadable', { why: error.why }));
  }
}

/** By the media type, and where that says neither, by the first character. */
function isJson(type: string | undefined, bytes: Uint8Array): boolean {
  if (type !== undefined && /json/i.test(type)) return true;
  if (type !== undefined && /xml/i.test(type)) return false;
  const first = Buffer.from(bytes.subarray(0, 64)).toString('utf8').trimStart()[0];
  return first === '{' || first === '[';
}

/**
 * The address of the next page. Only the server itself may say where its pages go on: elsewhere the
 * sign-in would be told to strangers.
 *
 * @throws PollFailure
 */
export function nextAddress(asked: URL, next: string | null): URL | null {
  if (next === null) return null;
  if (!URL.canParse(next, asked.href))
    throw new PollFailure(message('poll-next-unusable', { given: next.slice(0, 100) }), {
      isLinkAtFault: true,
    });
  const address = new URL(next, asked.href);
  if (address.origin !== asked.origin || address.username !== '' || address.password !== '')
    throw new PollFailure(message('poll-next-elsewhere', { host: address.host }), { isLinkAtFault: true });
  return address;
}
