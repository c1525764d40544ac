/** What a token may do. `calendar` may only read the calendar feed. */
export const ROLES = ['manager', 'mechanic', 'dashboard', 'calendar'] as const;
export type Role = (typeof ROLES)[number];
