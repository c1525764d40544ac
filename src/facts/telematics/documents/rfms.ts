import { forEachYielding } from '../../../platform/concurrency/yielding.js';
import { instantFault } from '../../../platform/fields/instant-fault.js';
import { isPlain, type Plain } from '../../../platform/input/merge-patch.js';
import { jsonOf, kindOf } from './json-tree.js';
import { LONGEST_LINK, shownText } from './limits.js';
import { type SourcePage, UnreadableDocument } from './machine-report.js';
import { message } from './messages.js';
import { type Found, PageBuilder, type ReportBuilder } from './report-builder.js';
import { sayingsOf } from './tell-tales.js';

/**
 * A page of rFMS 4 vehicle statuses. Statuses of one vehicle are one report.
 *
 * Source: rFMS 4, `GET /vehiclestatuses`. Checked in public copies of its API document: degrees
 * Celsius, `requestServerDateTime`, `moreDataAvailable`, `moreDataAvailableLink`. That the total
 * distance is in metres was seen only in third-party code; that the engine hours are in hours is
 * from memory of rFMS.
 */
export interface RfmsPage extends SourcePage {
  /**
   * When the server received the request. The standard asks for it as `starttime` of the next
   * request, so that nothing is lost between two clocks.
   */
  serverAt: number | null;
  hasMore: boolean;
  /** The last status of the page, to ask for the rest by where there is no link. */
  lastVin: string | null;
  lastReceivedAt: number | null;
}

const LIST = '/vehicleStatusResponse/vehicleStatuses';

/** @throws UnreadableDocument */
export async function readRfmsStatuses(bytes: Uint8Array): Promise<RfmsPage> {
  const body = jsonOf(bytes);
  const statuses = statusesIn(body);
  const page = new PageBuilder();
  const builders = new Map<string, ReportBuilder>();
  await forEachYielding([...statuses.entries()], ([index, status]) =>
    takeStatus(status, `${LIST}/${index}`, page, builders),
  );
  const last = statuses.at(-1);
  const lastStatus = isPlain(last) ? last : {};
  const { moreDataAvailable, moreDataAvailableLink, requestServerDateTime } = body as Plain;
  const hasMore = moreDataAvailable === true;
  const next = hasMore ? linkIn(moreDataAvailableLink, page) : null;
  return {
    ...page.page(next),
    serverAt: instantOf(requestServerDateTime),
    hasMore,
    lastVin: textIn(lastStatus['vin'])?.trim() ?? null,
    lastReceivedAt: instantOf(lastStatus['receivedDateTime']),
  };
}

/**
 * The address of the next page. Where the server gives no link, rFMS asks for the rest by
 * `lastVin` if only the latest status of each vehicle was asked for, and otherwise by a `starttime`
 * one second after the last status was received.
 *
 * @param asked the address of this page
 * @returns null when there is no further page, or no way to ask for it
 */
export function nextRfmsPage(asked: URL, page: RfmsPage): string | null {
  if (!page.hasMore) return null;
  if (page.next !== null) return page.next;
  const next = new URL(asked);
  if (asked.searchParams.get('latestOnly') === 'true') {
    if (page.lastVin === null) return null;
    next.searchParams.set('lastVin', page.lastVin);
  } else {
    if (page.lastReceivedAt === null) return null;
    next.searchParams.set('starttime', new Date(page.lastReceivedAt + 1000).toISOString());
  }
  return next.href;
}

function statusesIn(body: unknown): readonly unknown[] {
  const response = isPlain(body) ? body['vehicleStatusResponse'] : undefined;
  const statuses = isPlain(response) ? (response['vehicleStatuses'] ?? []) : null;
  if (Array.isArray(statuses)) return statuses;
  throw new UnreadableDocument(
    message('telematics-other-document', {
      found: shownText(kindOf(body)),
      expected: 'vehicleStatusResponse',
    }),
  );
}

function takeStatus(
  status: unknown,
  path: string,
  page: PageBuilder,
  builders: Map<string, ReportBuilder>,
): void {
  if (!isPlain(status)) return page.refuse(path, message('telematics-not-an-object'));
  const vin = page.name(found(status, 'vin', path))?.toUpperCase() ?? null;
  const builder = builderOf(vin, path, page, builders);
  if (builder === null) return;
  const at = found(status, 'createdDateTime', path);
  const distance = found(status, 'hrTotalVehicleDistance', path);
  if (distance.text !== null) builder.odometer(at, distance, 'm');
  const hours = found(status, 'totalEngineHours', path);
  if (hours.text !== null) builder.engineHours(at, hours);
  const uptime = isPlain(status['uptimeData']) ? status['uptimeData'] : {};
  const coolant = found(uptime, 'engineCoolantTemperature', `${path}/uptimeData`);
  if (coolant.text !== null) builder.coolant(at, coolant, 'C');
  takeTellTales(uptime['tellTaleInfo'], at, builder);
  const trigger = isPlain(status['triggerType']) ? status['triggerType'] : {};
  takeTellTales(trigger['tellTaleInfo'], at, builder);
}

function builderOf(
  vin: string | null,
  path: string,
  page: PageBuilder,
  builders: Map<string, ReportBuilder>,
): ReportBuilder | null {
  const known = vin === null ? undefined : builders.get(vin);
  if (known !== undefined) return known;
  const identity = { vin, serialNumber: null, equipmentId: null, make: null, model: null };
  const builder = page.machine(identity, path, ['vin']);
  if (builder !== null && vin !== null) builders.set(vin, builder);
  return builder;
}

/** Lamps that say nothing of cooling or charging are passed over. */
function takeTellTales(given: unknown, at: Found, builder: ReportBuilder): void {
  if (given === undefined || given === null) return;
  for (const info of Array.isArray(given) ? given : [given]) {
    if (!isPlain(info)) continue;
    const lamp = textIn(info['tellTale'])?.trim() ?? '';
    const state = textIn(info['state'])?.trim() ?? '';
    for (const { code, isActive } of sayingsOf(lamp, state)) builder.fault(at, code, { isActive, lamp });
  }
}

const textIn = (value: unknown): string | null => (typeof value === 'string' ? value : null);

/** A field as text; an object or a list is none, and is refused as what it is. */
function found(of: Plain, name: string, path: string): Found {
  const value = of[name];
  const isScalar = typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean';
  const isAbsent = value === undefined || value === null;
  return {
    text: isAbsent ? null : isScalar ? String(value) : kindOf(value),
    path: `${path}/${name}`,
  };
}

function instantOf(value: unknown): number | null {
  if (typeof value !== 'string' || instantFault(value) !== null) return null;
  return Date.parse(value.replace(' ', 'T').toUpperCase());
}

function linkIn(value: unknown, page: PageBuilder): string | null {
  if (value === undefined || value === null || value === '') return null;
  const link = typeof value === 'string' ? value : kindOf(value);
  if (link.length <= LONGEST_LINK && !/[\p{Cc}\p{Cs}\s]/u.test(link)) return link;
  page.refuse('/moreDataAvailableLink', message('telematics-link-unusable', { given: shownText(link) }));
  return null;
}
