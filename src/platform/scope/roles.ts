/**
 * What a token may do. `driver` may only report defects and see what became of them. `calendar` may
 * only read the calendar feed, and `telematics` may only post reports of machines.
 */
export const ROLES = ['manager', 'mechanic', 'driver', 'dashboard', 'calendar', 'telematics'] as const;
export type Role = (typeof ROLES)[number];
