/** Where the page of a vehicle is. */
export const vehicleAddress = (id: string): string => `/board#/vehicle/${encodeURIComponent(id)}`;
