/**
 * The number of what tablets and servers say to each other.
 *
 * 1  push, pull, site book, enrolment, live, desk.
 */
export const WIRE_VERSION = 1;
/** The oldest tablet that the server still understands. */
export const WIRE_VERSION_FLOOR = 1;

export const HEADERS = { wire: 'x-waxend-wire', site: 'x-waxend-site' } as const;
