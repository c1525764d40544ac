/**
 * What a token may do. `driver` may only report defects and see what became of them. `calendar` may
 * only read the calendar feed.
 */
export const ROLES = ['manager', 'mechanic', 'driver', 'dashboard', 'calendar'] as const;
export type Role = (typeof ROLES)[number];
