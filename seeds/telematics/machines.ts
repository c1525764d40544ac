/** The machines of the yard that report by themselves, as their device names them. */
export interface Device {
  serialNumber: string;
  make: string;
  model: string;
  equipmentId: string;
  /** The vehicle of the district, whose counter the device goes on with. */
  unitNumber: string | null;
}

export const LOADER: Device = {
  serialNumber: 'M40-0817',
  make: 'Marrowby',
  model: 'M-40 loader',
  equipmentId: 'Yard loader',
  unitNumber: 'WL-801',
};

/** Its hour meter was replaced, and nobody has said so yet: what it reports goes back. */
export const GRADER: Device = {
  serialNumber: 'M60-2203',
  make: 'Marrowby',
  model: 'M-60 grader',
  equipmentId: 'Pass grader',
  unitNumber: null,
};

/** Hired, so it is not in the district's list. */
const HIRED: Device = {
  serialNumber: 'M40-0933',
  make: 'Marrowby',
  model: 'M-40 loader',
  equipmentId: 'Hired loader',
  unitNumber: null,
};

export const DEVICES: readonly Device[] = [LOADER, GRADER, HIRED];

/** What a counter showed. `at`: epoch milliseconds. */
export interface Shown {
  hours: number;
  at: number;
}

const MS_PER_HOUR = 3_600_000;
/** Hours of work in each hour of the day and night: about four a day. */
const WORKED_SHARE = 0.17;
const FIRST_HOURS: Record<string, number> = { [GRADER.serialNumber]: 6.5, [HIRED.serialNumber]: 1_184.2 };

/** What the devices go on from. */
export interface Basis {
  /** The counters as they were last known, by serial number. */
  known: ReadonlyMap<string, Shown>;
  /** When the loader found its coolant low, epoch milliseconds; null: it is not. */
  levelLowAt: number | null;
}

/**
 * The fleet snapshot that the devices' server gives: `Links` and one `Equipment` for each machine,
 * after ISO/TS 15143-3 (the spelling from memory of its schema).
 *
 * @param now epoch milliseconds
 */
export function snapshotAt(now: number, { known, levelLowAt }: Basis): object {
  return {
    Links: [{ rel: 'self', href: '/Fleet/1' }],
    Equipment: DEVICES.map((device) => ({
      EquipmentHeader: {
        OEMName: device.make,
        Model: device.model,
        EquipmentID: device.equipmentId,
        SerialNumber: device.serialNumber,
      },
      CumulativeOperatingHours: {
        datetime: new Date(now).toISOString(),
        Hour: hoursAt(now, device, known.get(device.serialNumber)),
      },
      // SPN 111 is the coolant level, FMI 1 below normal, most severe (SAE J1939-71 and -73).
      ...(device === LOADER && levelLowAt !== null
        ? {
            FaultCode: [
              {
                datetime: new Date(levelLowAt).toISOString(),
                CodeIdentifier: '111-1',
                CodeSource: 'SAE J1939',
              },
            ],
          }
        : {}),
    })),
  };
}

function hoursAt(now: number, { serialNumber }: Device, last: Shown | undefined): number {
  if (!last) return FIRST_HOURS[serialNumber] ?? 0;
  const worked = (Math.max(0, now - last.at) / MS_PER_HOUR) * WORKED_SHARE;
  return Math.round((last.hours + worked) * 10) / 10;
}
