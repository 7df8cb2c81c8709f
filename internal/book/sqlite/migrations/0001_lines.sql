-- One row a line of the log, in the order of arrival. Rows are added, never
-- changed and never deleted. The columns beside line repeat what is in it, for
-- queries and for checking.
CREATE TABLE lines (
    seq   INTEGER PRIMARY KEY,
    id    TEXT    NOT NULL UNIQUE,
    at_ns INTEGER NOT NULL, -- nanoseconds since 1970 in UTC
    kind  TEXT    NOT NULL,
    tank  TEXT    NOT NULL, -- the tank's name as it is matched, '' when the line names none
    line  TEXT    NOT NULL  -- the line's JSON
);
