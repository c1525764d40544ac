/** Where the page of a vehicle is. In a `Link`, `~` before it: it is not below the router's base. */
export const vehicleAddress = (id: string): string => `/desk/vehicles/${encodeURIComponent(id)}`;
