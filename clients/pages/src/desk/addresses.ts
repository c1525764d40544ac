/** Where the page of a vehicle is. In a `Link`, `~` before it: it is not below the router's base. */
export const vehicleAddress = (id: string): string => `/desk/vehicles/${encodeURIComponent(id)}`;

/** Where a job report is, on the desk. */
export const reportAddress = (id: string): string => `/reports/${encodeURIComponent(id)}`;

/** Where visits are planned and shown, on the desk. */
export const visitsAddress = '/visits';

/** Where a job is reported on the phone page. */
export const reportJobAddress = (vehicleId: string): string =>
  `/phone/v/${encodeURIComponent(vehicleId)}/report`;

/** Where the phone page has what can be read at a vehicle. */
export const takeReadingAddress = (vehicleId: string): string => `/phone/v/${encodeURIComponent(vehicleId)}`;
