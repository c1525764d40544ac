import type { Unit } from '../../../domain/quantities/units.js';
import { forEachYielding } from '../../../platform/concurrency/yielding.js';
import { below, type Entry, inJson, inXml, keyOf, type Placed, textBelow } from './document-node.js';
import { takeIsoFault } from './iso-fault.js';
import { JsonNode, jsonOf, kindOf } from './json-tree.js';
import { LONGEST_LINK, shownText } from './limits.js';
import { type MachineFault, type Refusal, type SourcePage, UnreadableDocument } from './machine-report.js';
import { message } from './messages.js';
import { PageBuilder, type ReportBuilder } from './report-builder.js';
import { readXml } from './xml-tree.js';

/**
 * The document names of ISO/TS 15143-3:2020: a fleet snapshot is `Fleet` with `Links` (`rel`,
 * `href`) and one `Equipment` for each machine; a single-element snapshot is one `Equipment`. Each
 * value element has its instant as `datetime`.
 *
 * Source: the table of contents of ISO/TS 15143-3 (8.2 snapshot, 8.4 links, 11.2 header, 11.4
 * operating hours) was checked; the spelling of the elements is from memory of its schema.
 */
const IDENTITY = ['PIN', 'SerialNumber', 'EquipmentID'] as const;

/**
 * The words of `OdometerUnits`. The standard writes `kilometre` and `mile`; the others say the same
 * beyond doubt. From memory of ISO/TS 15143-3, cumulative distance.
 */
const ODOMETER_UNITS: Readonly<Record<string, Unit>> = {
  kilometre: 'km',
  kilometres: 'km',
  kilometer: 'km',
  kilometers: 'km',
  km: 'km',
  mile: 'mi',
  miles: 'mi',
  mi: 'mi',
};
const UNITS_NAMED = ['kilometre', 'mile'] as const;

/** Faults of one machine. The document does not name it: the address that was asked did. */
export interface FaultPage {
  faults: MachineFault[];
  refused: Refusal[];
  next: string | null;
}

/** @throws UnreadableDocument */
export async function readIso15143Xml(bytes: Uint8Array): Promise<SourcePage> {
  const page = new PageBuilder();
  let next: string | null = null;
  await readXml(bytes, {
    roots: ['Fleet'],
    parts: ['Equipment', 'Links'],
    take(node, name, index) {
      const placed = { node, path: inXml(`/Fleet/${name}`, index) };
      if (name === 'Links') next = nextIn([placed], page) ?? next;
      else takeEquipment(placed, page, inXml);
    },
  });
  return page.page(next);
}

/** @throws UnreadableDocument */
export async function readIso15143Json(bytes: Uint8Array): Promise<SourcePage> {
  const { root, links, parts } = jsonParts(bytes, 'Fleet', 'Equipment');
  const page = new PageBuilder();
  const next = nextIn(links, page);
  const isSingle = root.node.named('equipmentheader').length > 0;
  await forEachYielding(isSingle ? [root] : parts, (machine) => takeEquipment(machine, page, inJson));
  return page.page(next);
}

/**
 * A page of the fault time series, `…/Fleet/Equipment/ID/{id}/Faults/{start}/{end}/{page}`.
 *
 * @throws UnreadableDocument
 */
export async function readIso15143FaultsXml(bytes: Uint8Array): Promise<FaultPage> {
  const page = new PageBuilder();
  const builder = page.unnamed();
  let next: string | null = null;
  await readXml(bytes, {
    roots: ['FaultCodeMessages', 'FaultCodes', 'Faults', 'Fleet', 'Equipment'],
    parts: ['FaultCode', 'Links'],
    take(node, name, index) {
      const placed = { node, path: inXml(`/${name}`, index) };
      if (name === 'Links') next = nextIn([placed], page) ?? next;
      else takeIsoFault(placed, builder);
    },
  });
  return faultPage(builder, page.page(next));
}

/**
 * A page of the fault time series in JSON.
 *
 * @throws UnreadableDocument
 */
export async function readIso15143FaultsJson(bytes: Uint8Array): Promise<FaultPage> {
  const { links, parts } = jsonParts(bytes, 'FaultCodeMessages', 'FaultCode');
  const page = new PageBuilder();
  const builder = page.unnamed();
  const next = nextIn(links, page);
  await forEachYielding(parts, (fault) => takeIsoFault(fault, builder));
  return faultPage(builder, page.page(next));
}

function faultPage({ report }: ReportBuilder, { next, refused }: SourcePage): FaultPage {
  return { faults: report.faults, refused: [...report.refused, ...refused], next };
}

/** The root of a JSON document, which some servers wrap in its name, its links and its parts. */
function jsonParts(bytes: Uint8Array, name: string, part: string) {
  const document = jsonOf(bytes);
  const outer = new JsonNode(document);
  const inner = outer.field(keyOf(name)) ?? null;
  const node = inner === null ? outer : new JsonNode(inner);
  const root: Placed = { node, path: inner === null ? '' : `/${name}` };
  const isOne = ['EquipmentHeader', 'Links', part].some((field) => node.field(keyOf(field)) !== undefined);
  if (!isOne)
    throw new UnreadableDocument(
      message('telematics-other-document', { found: shownText(kindOf(document)), expected: part }),
    );
  return { root, links: below(root, 'Links', inJson), parts: below(root, part, inJson) };
}

/** The link whose relation is `next` (ISO/TS 15143-3, 8.4). */
function nextIn(links: readonly Placed[], page: PageBuilder): string | null {
  const next = links.find((link) => textBelow(link, 'rel').text?.trim().toLowerCase() === 'next');
  if (next === undefined) return null;
  const { text, path } = textBelow(next, 'href');
  const href = text?.trim() ?? '';
  if (href !== '' && href.length <= LONGEST_LINK && !/[\p{Cc}\p{Cs}\s]/u.test(href)) return href;
  page.refuse(path, message('telematics-link-unusable', { given: shownText(href) }));
  return null;
}

function takeEquipment(machine: Placed, page: PageBuilder, entry: Entry): void {
  const header: Placed = below(machine, 'EquipmentHeader', entry)[0] ?? machine;
  const [vin, serialNumber, equipmentId] = IDENTITY.map((name) => page.name(textBelow(header, name)));
  const identity = {
    vin: vin?.toUpperCase() ?? null,
    serialNumber: serialNumber ?? null,
    equipmentId: equipmentId ?? null,
    make: page.name(textBelow(header, 'OEMName')),
    model: page.name(textBelow(header, 'Model')),
  };
  const builder = page.machine(identity, machine.path, IDENTITY);
  if (builder === null) return;
  for (const hours of below(machine, 'CumulativeOperatingHours', entry))
    if (!isEmpty(hours, 'Hour')) builder.engineHours(textBelow(hours, 'datetime'), textBelow(hours, 'Hour'));
  for (const distance of below(machine, 'Distance', entry)) takeDistance(distance, builder);
  for (const fault of below(machine, 'FaultCode', entry)) takeIsoFault(fault, builder);
}

function takeDistance(distance: Placed, builder: ReportBuilder): void {
  if (isEmpty(distance, 'Odometer')) return;
  const { text, path } = textBelow(distance, 'OdometerUnits');
  const given = text?.trim() ?? '';
  const key = given.toLowerCase();
  const unit = Object.hasOwn(ODOMETER_UNITS, key) ? ODOMETER_UNITS[key] : undefined;
  if (unit !== undefined)
    builder.odometer(textBelow(distance, 'datetime'), textBelow(distance, 'Odometer'), unit);
  else if (given === '')
    builder.refuse(path, message('telematics-unit-missing', { field: 'Odometer', units: UNITS_NAMED }));
  else
    builder.refuse(path, message('telematics-unit-unknown', { given: shownText(given), units: UNITS_NAMED }));
}

/** Servers send an element without a value for what a machine does not measure. */
function isEmpty(placed: Placed, name: string): boolean {
  return (textBelow(placed, name).text?.trim() ?? '') === '';
}
