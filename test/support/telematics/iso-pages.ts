import type { SimulatedMachine } from './machines.js';

/** Links of a page by their relation: `self`, `next`, `last`. */
export type PageLinks = Readonly<Record<string, string>>;

const KM_PER_MILE = 1.609344;
const NAMESPACE = 'http://standards.iso.org/iso/15143/-3';

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

const element = (name: string, value: string | number | null): string =>
  value === null ? '' : `<${name}>${escaped(String(value))}</${name}>`;

function linksXml(links: PageLinks): string {
  return Object.entries(links)
    .map(([rel, href]) => `<Links>${element('rel', rel)}${element('href', href)}</Links>`)
    .join('');
}

function odometerOf({ odometerKm, odometerUnits }: SimulatedMachine): number | null {
  if (odometerKm === null) return null;
  return odometerUnits === 'mile' ? odometerKm / KM_PER_MILE : odometerKm;
}

function equipmentXml(machine: SimulatedMachine): string {
  const { make, model, equipmentId, serialNumber, vin, at, engineHours, odometerUnits } = machine;
  const odometer = odometerOf(machine);
  return [
    '<Equipment><EquipmentHeader>',
    ...[element('OEMName', make), element('Model', model), element('EquipmentID', equipmentId)],
    ...[element('SerialNumber', serialNumber), element('PIN', vin), '</EquipmentHeader>'],
    engineHours === null
      ? ''
      : `<CumulativeOperatingHours datetime="${at}">${element('Hour', engineHours)}</CumulativeOperatingHours>`,
    odometer === null
      ? ''
      : `<Distance datetime="${at}">${element('OdometerUnits', odometerUnits)}${element('Odometer', odometer)}</Distance>`,
    '</Equipment>',
  ].join('');
}

/** A page of the fleet snapshot: ISO/TS 15143-3, 8.2.2. */
export function snapshotXml(machines: readonly SimulatedMachine[], links: PageLinks): string {
  const inside = linksXml(links) + machines.map(equipmentXml).join('\n');
  return `<?xml version="1.0" encoding="UTF-8"?>\n<Fleet xmlns="${NAMESPACE}" version="1">${inside}</Fleet>`;
}

const linksJson = (links: PageLinks): object[] => Object.entries(links).map(([rel, href]) => ({ rel, href }));

function equipmentJson(machine: SimulatedMachine): object {
  const { make, model, equipmentId, serialNumber, vin, at, engineHours, odometerUnits } = machine;
  const odometer = odometerOf(machine);
  return {
    EquipmentHeader: {
      OEMName: make,
      Model: model,
      EquipmentID: equipmentId,
      SerialNumber: serialNumber,
      PIN: vin,
    },
    ...(engineHours === null ? {} : { CumulativeOperatingHours: { datetime: at, Hour: engineHours } }),
    ...(odometer === null
      ? {}
      : {
          Distance: {
            datetime: at,
            Odometer: odometer,
            ...(odometerUnits === null ? {} : { OdometerUnits: odometerUnits }),
          },
        }),
  };
}

export function snapshotJson(machines: readonly SimulatedMachine[], links: PageLinks): string {
  return JSON.stringify({ Links: linksJson(links), Equipment: machines.map(equipmentJson) });
}

type Faults = SimulatedMachine['faults'];

/** A page of the fault time series: ISO/TS 15143-3, 8.3. */
export function faultsXml(faults: Faults, links: PageLinks): string {
  const codes = faults.map(
    ({ at, identifier, source }) =>
      `<FaultCode datetime="${at}">${element('CodeIdentifier', identifier)}${element('CodeSource', source)}</FaultCode>`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>\n<FaultCodeMessages xmlns="${NAMESPACE}">${linksXml(links)}${codes.join('')}</FaultCodeMessages>`;
}

export function faultsJson(faults: Faults, links: PageLinks): string {
  return JSON.stringify({
    Links: linksJson(links),
    FaultCode: faults.map(({ at, identifier, source }) => ({
      datetime: at,
      CodeIdentifier: identifier,
      CodeSource: source,
    })),
  });
}
