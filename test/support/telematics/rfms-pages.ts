import type { SimulatedMachine } from './machines.js';

/** One page of rFMS vehicle statuses. */
export interface RfmsDocument {
  machines: readonly SimulatedMachine[];
  hasMore: boolean;
  /** Left out where the server gives none. */
  link: string | null;
  /** When the request arrived, RFC 3339. */
  serverAt: string;
}

function statusOf({ vin, at, odometerKm, engineHours, coolantC, lamps }: SimulatedMachine): object {
  return {
    vin,
    triggerType: { context: 'RFMS', triggerType: 'TIMER' },
    createdDateTime: at,
    receivedDateTime: at,
    ...(odometerKm === null ? {} : { hrTotalVehicleDistance: Math.round(odometerKm * 1000) }),
    ...(engineHours === null ? {} : { totalEngineHours: engineHours }),
    uptimeData: {
      ...(coolantC === null ? {} : { engineCoolantTemperature: coolantC }),
      tellTaleInfo: Object.entries(lamps).map(([tellTale, state]) => ({ tellTale, state })),
    },
  };
}

/** The answer to `GET /vehiclestatuses` of rFMS 4. */
export function statusesJson({ machines, hasMore, link, serverAt }: RfmsDocument): string {
  return JSON.stringify({
    vehicleStatusResponse: { vehicleStatuses: machines.map(statusOf) },
    moreDataAvailable: hasMore,
    ...(link === null ? {} : { moreDataAvailableLink: link }),
    requestServerDateTime: serverAt,
  });
}
