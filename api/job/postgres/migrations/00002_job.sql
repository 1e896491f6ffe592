-- +goose Up

CREATE TABLE job (
    id       text PRIMARY KEY,
    number   bigint GENERATED ALWAYS AS IDENTITY UNIQUE,
    kind     text NOT NULL,
    owner    text NOT NULL,
    request  bytea NOT NULL, -- as it came; json would not keep its bytes
    state    text NOT NULL CHECK (state IN ('waiting', 'running', 'done', 'failed', 'cancelled')),
    detail   text NOT NULL DEFAULT '',
    starts   integer NOT NULL DEFAULT 0,
    asked_at timestamptz NOT NULL,
    began_at timestamptz,
    ended_at timestamptz,
    progress double precision NOT NULL DEFAULT 0 CHECK (progress BETWEEN 0 AND 1),
    word     text NOT NULL DEFAULT '',
    change   integer NOT NULL DEFAULT 0,
    bytes    bigint NOT NULL DEFAULT 0 -- of all results
);

CREATE INDEX job_state ON job (state, number);

CREATE TABLE job_result (
    job     text NOT NULL REFERENCES job ON DELETE CASCADE,
    name    text NOT NULL,
    place   integer NOT NULL,
    media   text NOT NULL,
    size    integer NOT NULL,
    content bytea NOT NULL,
    PRIMARY KEY (job, name)
);

-- Step 0 is the first, 1 and on are the parts, -1 is the last.
CREATE TABLE job_step (
    job     text NOT NULL REFERENCES job ON DELETE CASCADE,
    step    integer NOT NULL,
    spec    bytea,
    looks   integer NOT NULL DEFAULT 0,
    ticket  bigint NOT NULL, -- River's job that may do it
    worker  bigint,          -- the number of the process that does it; null: nobody yet
    starts  integer NOT NULL DEFAULT 0,
    refused integer NOT NULL DEFAULT 0, -- begun, and given back
    done    boolean NOT NULL DEFAULT false,
    content bytea,
    PRIMARY KEY (job, step)
);

CREATE INDEX job_step_open ON job_step (worker) WHERE NOT done;

-- +goose Down
DROP TABLE job_step;
DROP TABLE job_result;
DROP TABLE job;
