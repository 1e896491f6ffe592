-- +goose Up

-- The content of files, kept once however many versions hold it.
CREATE TABLE region_content (
    hash  bytea PRIMARY KEY CHECK (octet_length(hash) = 32),
    bytes bytea NOT NULL
);

CREATE TABLE region_version (
    number  bigint PRIMARY KEY CHECK (number > 0),
    made_at timestamptz NOT NULL,
    who     text NOT NULL,
    why     text NOT NULL,
    what    json NOT NULL,
    more    integer NOT NULL CHECK (more >= 0)
);

CREATE TABLE region_file (
    number bigint NOT NULL REFERENCES region_version,
    name   text NOT NULL,
    hash   bytea NOT NULL REFERENCES region_content,
    size   bigint NOT NULL,
    PRIMARY KEY (number, name)
);

CREATE INDEX region_file_hash ON region_file (hash, number);

-- +goose Down
DROP TABLE region_file;
DROP TABLE region_version;
DROP TABLE region_content;
