-- A book of schema 0001 as it was kept, one film, one play, one snap; never changed.
PRAGMA application_id=1196573763;
BEGIN TRANSACTION;
CREATE TABLE acts (
	id TEXT NOT NULL,
	author TEXT NOT NULL,
	computer TEXT NOT NULL,
	at TEXT NOT NULL,
	verb TEXT NOT NULL,
	schema TEXT NOT NULL,
	undoes TEXT,
	number INTEGER NOT NULL,
	taking_back BOOLEAN NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(undoes) REFERENCES acts (id) DEFERRABLE INITIALLY DEFERRED,
	UNIQUE (number)
);
INSERT INTO "acts" VALUES('01a21418-7495-7a94-9989-6e570ab15a8d','Coach Alder','office','2026-11-25T19:04:36.757+00:00','add the end film of Tuesday','0001',NULL,1,0);
INSERT INTO "acts" VALUES('01a21418-74af-70e4-98a9-50374609f38d','Coach Alder','office','2026-11-25T19:04:36.783+00:00','mark the snap','0001',NULL,2,0);
CREATE TABLE actuals (
	id TEXT NOT NULL,
	rep_id TEXT NOT NULL,
	did TEXT NOT NULL,
	name TEXT NOT NULL,
	side TEXT,
	cause TEXT NOT NULL,
	source TEXT NOT NULL,
	author TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(rep_id) REFERENCES reps (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL,
	PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE angles (
	id TEXT NOT NULL,
	clip_id TEXT NOT NULL,
	film_id TEXT NOT NULL,
	name TEXT NOT NULL,
	start_pts BIGINT NOT NULL,
	stop_pts BIGINT NOT NULL,
	scale TEXT NOT NULL,
	offset_s TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(clip_id) REFERENCES clips (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(film_id) REFERENCES films (id) DEFERRABLE INITIALLY DEFERRED
);
INSERT INTO "angles" VALUES('01a21418-7473-7bfc-b6e3-3d4d442f43de','01a21418-7472-7ace-84ce-5473dea45dad','01a21418-7470-754c-adf2-74b1f22b46a5','end',-3003,534534,'1/1','0/1');
CREATE TABLE book (
	id TEXT NOT NULL,
	name TEXT NOT NULL,
	season TEXT NOT NULL,
	scheme_id TEXT,
	graded_group TEXT NOT NULL,
	made_at TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(scheme_id) REFERENCES scheme_versions (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE changes (
	id TEXT NOT NULL,
	act_id TEXT NOT NULL,
	"order" BIGINT NOT NULL,
	"table" TEXT NOT NULL,
	row_id TEXT NOT NULL,
	"before" TEXT,
	"after" TEXT,
	PRIMARY KEY (id),
	FOREIGN KEY(act_id) REFERENCES acts (id) DEFERRABLE INITIALLY DEFERRED
);
INSERT INTO "changes" VALUES('01a21418-7496-7562-bd3e-e0a23364cd54','01a21418-7495-7a94-9989-6e570ab15a8d',1,'sessions','01a21418-7471-721d-bd2a-c7e99aafc689',NULL,'{"id":"01a21418-7471-721d-bd2a-c7e99aafc689","name":"Tuesday","kind":"practice","day":"2026-10-06","level":"NCAA"}');
INSERT INTO "changes" VALUES('01a21418-7497-75dd-93f8-7204784aea94','01a21418-7495-7a94-9989-6e570ab15a8d',2,'films','01a21418-7470-754c-adf2-74b1f22b46a5',NULL,'{"id":"01a21418-7470-754c-adf2-74b1f22b46a5","name":"play 1","fingerprint":"blake2b-ends-1:00ff","width":1280,"height":720,"rate":"30000/1001","time_base":"1/90000","frame_count":180,"first_pts":-3003,"duration_s":"3003/500"}');
INSERT INTO "changes" VALUES('01a21418-7498-7a7b-93a7-636c8a482d2e','01a21418-7495-7a94-9989-6e570ab15a8d',3,'film_files','01a21418-7474-7740-a99d-d25caae595d7',NULL,'{"id":"01a21418-7474-7740-a99d-d25caae595d7","film_id":"01a21418-7470-754c-adf2-74b1f22b46a5","computer":"office","path":"/films/play 1.mp4"}');
INSERT INTO "changes" VALUES('01a21418-7499-771e-9d60-4157ff04cedc','01a21418-7495-7a94-9989-6e570ab15a8d',4,'clips','01a21418-7472-7ace-84ce-5473dea45dad',NULL,'{"id":"01a21418-7472-7ace-84ce-5473dea45dad","session_id":"01a21418-7471-721d-bd2a-c7e99aafc689","order":1,"script_number":null,"period":"","kind":"run","tempo":"","call":"","unit":"","down":null,"to_go":"","ball_on":"","hash":"","personnel":"","formation":"","yards_gained":null,"note":""}');
INSERT INTO "changes" VALUES('01a21418-749a-72bc-bb4b-b1a7744c9979','01a21418-7495-7a94-9989-6e570ab15a8d',5,'angles','01a21418-7473-7bfc-b6e3-3d4d442f43de',NULL,'{"id":"01a21418-7473-7bfc-b6e3-3d4d442f43de","clip_id":"01a21418-7472-7ace-84ce-5473dea45dad","film_id":"01a21418-7470-754c-adf2-74b1f22b46a5","name":"end","start_pts":-3003,"stop_pts":534534,"scale":"1/1","offset_s":"0/1"}');
INSERT INTO "changes" VALUES('01a21418-74b0-73a8-8315-33b64c87ee2b','01a21418-74af-70e4-98a9-50374609f38d',1,'moments','01a21418-74ac-7960-8737-6139fd382d92',NULL,'{"id":"01a21418-74ac-7960-8737-6139fd382d92","angle_id":"01a21418-7473-7bfc-b6e3-3d4d442f43de","kind":"snap","pts":90090,"rep_id":null,"source":"marked","author":"Coach Alder"}');
CREATE TABLE clips (
	id TEXT NOT NULL,
	session_id TEXT NOT NULL,
	"order" BIGINT NOT NULL,
	script_number BIGINT,
	period TEXT NOT NULL,
	kind TEXT NOT NULL,
	tempo TEXT NOT NULL,
	call TEXT NOT NULL,
	unit TEXT NOT NULL,
	down BIGINT,
	to_go TEXT NOT NULL,
	ball_on TEXT NOT NULL,
	hash TEXT NOT NULL,
	personnel TEXT NOT NULL,
	formation TEXT NOT NULL,
	yards_gained BIGINT,
	note TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(session_id) REFERENCES sessions (id) DEFERRABLE INITIALLY DEFERRED
);
INSERT INTO "clips" VALUES('01a21418-7472-7ace-84ce-5473dea45dad','01a21418-7471-721d-bd2a-c7e99aafc689',1,NULL,'','run','','','',NULL,'','','','','',NULL,'');
CREATE TABLE events (
	id TEXT NOT NULL,
	rep_id TEXT NOT NULL,
	name TEXT NOT NULL,
	author TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(rep_id) REFERENCES reps (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE facts (
	id TEXT NOT NULL,
	clip_id TEXT NOT NULL,
	reference TEXT NOT NULL,
	value TEXT NOT NULL,
	source TEXT NOT NULL,
	author TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(clip_id) REFERENCES clips (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE film_files (
	id TEXT NOT NULL,
	film_id TEXT NOT NULL,
	computer TEXT NOT NULL,
	path TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(film_id) REFERENCES films (id) DEFERRABLE INITIALLY DEFERRED
);
INSERT INTO "film_files" VALUES('01a21418-7474-7740-a99d-d25caae595d7','01a21418-7470-754c-adf2-74b1f22b46a5','office','/films/play 1.mp4');
CREATE TABLE films (
	id TEXT NOT NULL,
	name TEXT NOT NULL,
	fingerprint TEXT NOT NULL,
	width BIGINT NOT NULL,
	height BIGINT NOT NULL,
	rate TEXT,
	time_base TEXT NOT NULL,
	frame_count BIGINT NOT NULL,
	first_pts BIGINT NOT NULL,
	duration_s TEXT NOT NULL,
	PRIMARY KEY (id)
);
INSERT INTO "films" VALUES('01a21418-7470-754c-adf2-74b1f22b46a5','play 1','blake2b-ends-1:00ff',1280,720,'30000/1001','1/90000',180,-3003,'3003/500');
CREATE TABLE flags (
	id TEXT NOT NULL,
	clip_id TEXT NOT NULL,
	rep_id TEXT,
	author TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(clip_id) REFERENCES clips (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(rep_id) REFERENCES reps (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE frame_times (
	id TEXT NOT NULL,
	film_id TEXT NOT NULL,
	pts TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(film_id) REFERENCES films (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE grades (
	id TEXT NOT NULL,
	rep_id TEXT NOT NULL,
	author TEXT NOT NULL,
	at TEXT NOT NULL,
	expected_fit TEXT,
	expected_side TEXT,
	expected_also TEXT NOT NULL,
	expected_rule TEXT,
	owed_by TEXT NOT NULL,
	scheme_id TEXT,
	look_digest TEXT NOT NULL,
	did TEXT NOT NULL,
	did_name TEXT NOT NULL,
	did_side TEXT,
	fit_result TEXT NOT NULL,
	fit_points FLOAT,
	cause TEXT NOT NULL,
	technique TEXT NOT NULL,
	effort FLOAT,
	cannot TEXT NOT NULL,
	note TEXT NOT NULL,
	how TEXT NOT NULL,
	supersedes TEXT,
	PRIMARY KEY (id),
	FOREIGN KEY(rep_id) REFERENCES reps (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(scheme_id) REFERENCES scheme_versions (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(supersedes) REFERENCES grades (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE line_ups (
	id TEXT NOT NULL,
	clip_id TEXT NOT NULL,
	position TEXT NOT NULL,
	player_id TEXT NOT NULL,
	side TEXT,
	source TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(clip_id) REFERENCES clips (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(player_id) REFERENCES players (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE marks (
	id TEXT NOT NULL,
	angle_id TEXT NOT NULL,
	kind TEXT NOT NULL,
	points TEXT NOT NULL,
	from_pts BIGINT NOT NULL,
	to_pts BIGINT NOT NULL,
	rep_id TEXT,
	meaning TEXT NOT NULL,
	text TEXT NOT NULL,
	author TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(angle_id) REFERENCES angles (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(rep_id) REFERENCES reps (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE moments (
	id TEXT NOT NULL,
	angle_id TEXT NOT NULL,
	kind TEXT NOT NULL,
	pts BIGINT NOT NULL,
	rep_id TEXT,
	source TEXT NOT NULL,
	author TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(angle_id) REFERENCES angles (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(rep_id) REFERENCES reps (id) DEFERRABLE INITIALLY DEFERRED
);
INSERT INTO "moments" VALUES('01a21418-74ac-7960-8737-6139fd382d92','01a21418-7473-7bfc-b6e3-3d4d442f43de','snap',90090,NULL,'marked','Coach Alder');
CREATE TABLE owed (
	id TEXT NOT NULL,
	rep_id TEXT NOT NULL,
	fit TEXT NOT NULL,
	side TEXT,
	reason TEXT NOT NULL,
	author TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(rep_id) REFERENCES reps (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE pieces (
	id TEXT NOT NULL,
	reel_id TEXT NOT NULL,
	"order" BIGINT NOT NULL,
	clip_id TEXT NOT NULL,
	angle_id TEXT NOT NULL,
	rep_id TEXT,
	from_s TEXT NOT NULL,
	to_s TEXT NOT NULL,
	speed TEXT NOT NULL,
	freezes TEXT NOT NULL,
	title TEXT NOT NULL,
	caption TEXT NOT NULL,
	mark_ids TEXT NOT NULL,
	PRIMARY KEY (id),
	FOREIGN KEY(reel_id) REFERENCES reels (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(clip_id) REFERENCES clips (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(angle_id) REFERENCES angles (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(rep_id) REFERENCES reps (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE players (
	id TEXT NOT NULL,
	name TEXT NOT NULL,
	position TEXT NOT NULL,
	year TEXT NOT NULL,
	game_number TEXT NOT NULL,
	practice_number TEXT NOT NULL,
	under_18 BOOLEAN NOT NULL,
	consent BOOLEAN NOT NULL,
	held_out BOOLEAN NOT NULL,
	remark TEXT NOT NULL,
	PRIMARY KEY (id)
);
CREATE TABLE reels (
	id TEXT NOT NULL,
	name TEXT NOT NULL,
	question TEXT NOT NULL,
	author TEXT NOT NULL,
	PRIMARY KEY (id)
);
CREATE TABLE reps (
	id TEXT NOT NULL,
	clip_id TEXT NOT NULL,
	player_id TEXT NOT NULL,
	position TEXT NOT NULL,
	side TEXT,
	PRIMARY KEY (id),
	FOREIGN KEY(clip_id) REFERENCES clips (id) DEFERRABLE INITIALLY DEFERRED,
	FOREIGN KEY(player_id) REFERENCES players (id) DEFERRABLE INITIALLY DEFERRED
);
CREATE TABLE scheme_versions (
	id TEXT NOT NULL,
	sha256 TEXT NOT NULL,
	name TEXT NOT NULL,
	version TEXT NOT NULL,
	text TEXT NOT NULL,
	added_at TEXT NOT NULL,
	PRIMARY KEY (id)
);
CREATE TABLE sessions (
	id TEXT NOT NULL,
	name TEXT NOT NULL,
	kind TEXT NOT NULL,
	day TEXT NOT NULL,
	level TEXT NOT NULL,
	PRIMARY KEY (id)
);
INSERT INTO "sessions" VALUES('01a21418-7471-721d-bd2a-c7e99aafc689','Tuesday','practice','2026-10-06','NCAA');
CREATE INDEX ix_films_fingerprint ON films (fingerprint);
CREATE INDEX ix_scheme_versions_sha256 ON scheme_versions (sha256);
CREATE INDEX acts_of_author ON acts (author, computer, number);
CREATE INDEX ix_film_files_film_id ON film_files (film_id);
CREATE INDEX ix_frame_times_film_id ON frame_times (film_id);
CREATE INDEX ix_clips_session_id ON clips (session_id);
CREATE INDEX ix_changes_act_id ON changes (act_id);
CREATE INDEX changes_of_row ON changes ("table", row_id);
CREATE INDEX ix_angles_film_id ON angles (film_id);
CREATE INDEX ix_angles_clip_id ON angles (clip_id);
CREATE INDEX ix_line_ups_clip_id ON line_ups (clip_id);
CREATE INDEX ix_line_ups_player_id ON line_ups (player_id);
CREATE UNIQUE INDEX facts_once ON facts (clip_id, reference, source, author);
CREATE UNIQUE INDEX reps_once ON reps (clip_id, position, player_id);
CREATE INDEX ix_reps_player_id ON reps (player_id);
CREATE INDEX ix_moments_rep_id ON moments (rep_id);
CREATE INDEX ix_moments_angle_id ON moments (angle_id);
CREATE UNIQUE INDEX moments_once ON moments (angle_id, coalesce(rep_id, ''), kind, source, author);
CREATE UNIQUE INDEX owed_once ON owed (rep_id, author);
CREATE UNIQUE INDEX actuals_once ON actuals (rep_id, source, author);
CREATE INDEX ix_events_rep_id ON events (rep_id);
CREATE INDEX ix_flags_clip_id ON flags (clip_id);
CREATE INDEX ix_flags_rep_id ON flags (rep_id);
CREATE INDEX ix_grades_supersedes ON grades (supersedes);
CREATE INDEX ix_grades_scheme_id ON grades (scheme_id);
CREATE INDEX ix_grades_rep_id ON grades (rep_id);
CREATE INDEX ix_marks_rep_id ON marks (rep_id);
CREATE INDEX ix_marks_angle_id ON marks (angle_id);
CREATE INDEX ix_pieces_clip_id ON pieces (clip_id);
CREATE INDEX ix_pieces_rep_id ON pieces (rep_id);
CREATE INDEX ix_pieces_angle_id ON pieces (angle_id);
CREATE INDEX ix_pieces_reel_id ON pieces (reel_id);
COMMIT;
