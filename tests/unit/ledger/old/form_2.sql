BEGIN TRANSACTION;
CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
INSERT INTO "about" VALUES('ledger','f7d793cd1242f49e9d3e46589d7a627c');
INSERT INTO "about" VALUES('peaks','0703179433e83f4fec7a1e808f9e45c800be59e56655cffa474d874060a80a387431da5b927f0d7cc8b5a45300e81296bfcad243446f00771e0d41c872a47e27');
INSERT INTO "about" VALUES('size','12');
CREATE TABLE answered (
  seq INTEGER NOT NULL,
  place INTEGER NOT NULL,
  by_seq INTEGER NOT NULL,
  PRIMARY KEY (seq, place, by_seq)
) STRICT, WITHOUT ROWID;
INSERT INTO "answered" VALUES(5,0,9);
INSERT INTO "answered" VALUES(2,0,10);
INSERT INTO "answered" VALUES(2,1,10);
CREATE TABLE checkpoint (
  size INTEGER PRIMARY KEY,              -- of the log that it is of
  note TEXT NOT NULL
) STRICT;
INSERT INTO "checkpoint" VALUES(8,'airwrit/f7d793cd1242f49e9d3e46589d7a627c
8
BwMXlDPoP0/seh6Aj55FyAC+WeVmVc/6R02HQGCoCjg=
subjects MYfXHMHX1ABCkiN9usMtCEL+96jJTOkKgeDUUtqUEG8=
last 2026-12-01T16:34:52.456098Z
');
INSERT INTO "checkpoint" VALUES(9,'airwrit/f7d793cd1242f49e9d3e46589d7a627c
9
uovtZKTNTCoMkqC/D3f2NSmufs/IROTep6X923d91y4=
subjects xB4WG/KI598QllR4gWjxEVk49gS0uVj62Bh0SFVG8lM=
last 2026-12-01T16:34:55.192292Z

— airwrit/f7d793cd1242f49e9d3e46589d7a627c SRUzXcm78y4s2K2D4mSjkhN7DroZU0klM+5na9XUN88fILFWO/kixAuZAtmrqJub7u7X/VHXEYlQiYPbhUZDpEny/wk=
');
CREATE TABLE entry (
  seq INTEGER PRIMARY KEY,
  recorded_at INTEGER NOT NULL,          -- microseconds since 1970-01-01T00:00Z, a copy out of the line
  line TEXT,                             -- null once it was blanked
  leaf BLOB NOT NULL CHECK (length(leaf) = 32)
) STRICT;
INSERT INTO "entry" VALUES(1,1796142891071694,'{"act":"import","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"","recorded_at":"2026-12-01T16:34:51.071694Z","salt":"d9f50fe16cceea1cfeeb008678366c8d","seq":1,"source":"crew.csv sha256:1f9da8698fdc5ee00d746b963002cd3fb8935e62281cf57b9d259f43f9ccbe70","statements":[{"from":null,"key":"role","subject":"person/Jo Test","until":null,"value":"pilot"},{"from":null,"key":"has_certificate","subject":"person/Jo Test","until":null,"value":true}],"v":1}',X'DF46A1665B25D19F45F1B26102A5CB6A28C9A4AB463D0CF40BF1838686F361A6');
INSERT INTO "entry" VALUES(2,1796142891071695,NULL,X'80A66315AB8E0C5F5DE069928510C7F36E181A064551DA9C0877F019E054681D');
INSERT INTO "entry" VALUES(3,1796142891071696,'{"act":"import","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"80a66315ab8e0c5f5de069928510c7f36e181a064551da9c0877f019e054681d","recorded_at":"2026-12-01T16:34:51.071696Z","salt":"520ea75d5187156ee2a792dff899b218","seq":3,"source":"crew.csv sha256:1f9da8698fdc5ee00d746b963002cd3fb8935e62281cf57b9d259f43f9ccbe70","statements":[{"from":null,"key":"event_of","subject":"training/Jo Test, initial test, 2024-01-02","until":null,"value":"Jo Test"},{"from":null,"key":"event_kind","subject":"training/Jo Test, initial test, 2024-01-02","until":null,"value":"initial test"},{"from":null,"key":"completed_on","subject":"training/Jo Test, initial test, 2024-01-02","until":null,"value":"2024-01-02"}],"v":1}',X'6CF302019D1938F34AE54FA4143FB36D2F0761D1B05D3FEF6FF3113A1C381C79');
INSERT INTO "entry" VALUES(4,1796142891071697,'{"act":"import","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"6cf302019d1938f34ae54fa4143fb36d2f0761d1b05d3fef6ff3113a1c381c79","recorded_at":"2026-12-01T16:34:51.071697Z","salt":"f8259dc46c17924e59629cfc55f929dd","seq":4,"source":"crew.csv sha256:1f9da8698fdc5ee00d746b963002cd3fb8935e62281cf57b9d259f43f9ccbe70","statements":[{"from":null,"key":"role","subject":"person/Al Test","until":null,"value":"pilot"},{"from":null,"key":"has_certificate","subject":"person/Al Test","until":null,"value":true}],"v":1}',X'76C70ED55DE4E7ED954F8AEF5D71D3C85613DE4201231E076E5D667197740DAC');
INSERT INTO "entry" VALUES(5,1796142891071698,'{"act":"import","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"76c70ed55de4e7ed954f8aef5d71d3c85613de4201231e076e5d667197740dac","recorded_at":"2026-12-01T16:34:51.071698Z","salt":"660200395612b265d975e7a5fa28a0df","seq":5,"source":"crew.csv sha256:1f9da8698fdc5ee00d746b963002cd3fb8935e62281cf57b9d259f43f9ccbe70","statements":[{"from":null,"key":"certificate_number","subject":"person/Al Test","until":null,"value":"0000013"},{"from":null,"key":"born_on","subject":"person/Al Test","until":null,"value":"1991-02-03"}],"v":1}',X'0A4C18001BF3A83CBEA17BA55300819FC405447ADA8DB2FB219EB9C629B4938E');
INSERT INTO "entry" VALUES(6,1796142891071699,'{"act":"import","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"0a4c18001bf3a83cbea17ba55300819fc405447ada8db2fb219eb9c629b4938e","recorded_at":"2026-12-01T16:34:51.071699Z","salt":"8781b1237ac691d9021bb56878fd3b2a","seq":6,"source":"crew.csv sha256:1f9da8698fdc5ee00d746b963002cd3fb8935e62281cf57b9d259f43f9ccbe70","statements":[{"from":null,"key":"event_of","subject":"training/Al Test, initial test, 2024-01-03","until":null,"value":"Al Test"},{"from":null,"key":"event_kind","subject":"training/Al Test, initial test, 2024-01-03","until":null,"value":"initial test"},{"from":null,"key":"completed_on","subject":"training/Al Test, initial test, 2024-01-03","until":null,"value":"2024-01-03"}],"v":1}',X'D2C5C609A7AF1ABF31BC90C8C656242A0467B966CFCF85A5E1440F81101C7B53');
INSERT INTO "entry" VALUES(7,1796142892456097,'{"act":"import","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"d2c5c609a7af1abf31bc90c8c656242a0467b966cfcf85a5e1440f81101c7b53","recorded_at":"2026-12-01T16:34:52.456097Z","salt":"36aff2e8dbf0b2a43de18dce3a2f8be6","seq":7,"source":"fleet.csv sha256:c7dfd16531316c1e6a5454fcb87d4612b177edb1593c05fcb09c605e8e9c04e9","statements":[{"from":null,"key":"maker","subject":"aircraft/T-1","until":null,"value":"Testworks"},{"from":null,"key":"model","subject":"aircraft/T-1","until":null,"value":"One"},{"from":null,"key":"remote_id_serial","subject":"aircraft/T-1","until":null,"value":"ZZ9Z0000001"},{"from":null,"key":"is_registered","subject":"aircraft/T-1","until":null,"value":true},{"from":null,"key":"registration","subject":"aircraft/T-1","until":null,"value":"FA00TEST01"}],"v":1}',X'F42832FD52B4AD9F372A96C0B06496D807F7254E216E8BEF0C50D762E02A8E49');
INSERT INTO "entry" VALUES(8,1796142892456098,'{"act":"import","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"f42832fd52b4ad9f372a96c0b06496d807f7254e216e8bef0c50d762e02a8e49","recorded_at":"2026-12-01T16:34:52.456098Z","salt":"c59dda3e9ab9d86ee3ddeb07eaba467d","seq":8,"source":"fleet.csv sha256:c7dfd16531316c1e6a5454fcb87d4612b177edb1593c05fcb09c605e8e9c04e9","statements":[{"from":null,"key":"maker","subject":"aircraft/T-2","until":null,"value":"Testworks"},{"from":null,"key":"model","subject":"aircraft/T-2","until":null,"value":"One"},{"from":null,"key":"remote_id_serial","subject":"aircraft/T-2","until":null,"value":"ZZ9Z0000002"},{"from":null,"key":"is_registered","subject":"aircraft/T-2","until":null,"value":true},{"from":null,"key":"registration","subject":"aircraft/T-2","until":null,"value":"FA00TEST02"}],"v":1}',X'04C9221F90293DFAF8158BDF25BA28211BABA7CA7B5B7188A8BBFD03EF1D81EE');
INSERT INTO "entry" VALUES(9,1796142895192292,'{"act":"import","answers":["5.0"],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"04c9221f90293dfaf8158bdf25ba28211baba7ca7b5b7188a8bbfd03ef1d81ee","recorded_at":"2026-12-01T16:34:55.192292Z","salt":"a7125f7d7f6c988713e1974294018acc","seq":9,"source":"crew2.csv sha256:fdf14719a9f070e25fe49df06ba5402f695ca52ebc3dd227b8f2b0407c89ef79","statements":[{"from":null,"key":"certificate_number","subject":"person/Al Test","until":null,"value":"0000014"}],"v":1}',X'BB4BD3432AED61EFD8F30E92DC4918E35B828CDABFBA0E3301C730B4D9DA2FAB');
INSERT INTO "entry" VALUES(10,1796142898727558,'{"act":"blank","answers":["2.0","2.1"],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"request 1","prev":"bb4bd3432aed61efd8f30e92dc4918e35b828cdabfba0e3301c730b4d9da2fab","recorded_at":"2026-12-01T16:34:58.727558Z","salt":"9ca24f263e735f73dbe807fd429f04b4","seq":10,"source":"entry 2","statements":[{"from":null,"key":"certificate_number","subject":"person/Jo Test","until":null,"value":{"unreadable":""}},{"from":null,"key":"born_on","subject":"person/Jo Test","until":null,"value":{"unreadable":""}}],"v":1}',X'687F96BA6398BC95830FE9A849CB670002AA2B64B40E2A764FF1E55163C2999D');
INSERT INTO "entry" VALUES(11,1796142900431517,'{"act":"import","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"687f96ba6398bc95830fe9a849cb670002aa2b64b40e2a764ff1e55163c2999d","recorded_at":"2026-12-01T16:35:00.431517Z","salt":"8ccec2798fac1b5d22e086c2de49c242","seq":11,"source":"crew.csv sha256:699ef24085ef8c44ecaaa6e26053d2ae4f0454f3cb35e6b7d9adad97b084c4f5","statements":[{"from":"2026-12-01","key":"role","subject":"person/Al Test","until":null,"value":"lead"}],"v":1}',X'106BA7638B0F3BAF5ECF0AC9C2FD9D0A8775029B1DC3BAFBC61A0DD88D8369EA');
INSERT INTO "entry" VALUES(12,1796142902959411,'{"act":"attach","answers":[],"by":"ada","ledger":"f7d793cd1242f49e9d3e46589d7a627c","note":"","prev":"106ba7638b0f3baf5ecf0ac9c2fd9d0a8775029b1dc3bafbc61a0dd88d8369ea","recorded_at":"2026-12-01T16:35:02.959411Z","salt":"be02b9e6a82c69de8cd8e4874008d02d","seq":12,"source":"mark.png sha256:dd7b89993bde2e6c52ea00d533d1f09ac602d218251b7405d291fddc0b60cddf","statements":[{"from":null,"key":"document_of","subject":"document/dd7b89993bde2e6c aircraft/T-1","until":null,"value":"aircraft/T-1"},{"from":null,"key":"document_shows","subject":"document/dd7b89993bde2e6c aircraft/T-1","until":null,"value":"mark"},{"from":null,"key":"document_type","subject":"document/dd7b89993bde2e6c aircraft/T-1","until":null,"value":"PNG picture"},{"from":null,"key":"document_sha256","subject":"document/dd7b89993bde2e6c aircraft/T-1","until":null,"value":"dd7b89993bde2e6c52ea00d533d1f09ac602d218251b7405d291fddc0b60cddf"},{"from":null,"key":"document_name","subject":"document/dd7b89993bde2e6c aircraft/T-1","until":null,"value":"mark.png"}],"v":1}',X'B6DF3B7B1809228D9EF4D0DC88C889AC686BFF248D10BB35D24290165C9ACA66');
CREATE TABLE file (
  sha256 TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  bytes BLOB                             -- null once it was blanked
) STRICT;
INSERT INTO "file" VALUES('1f9da8698fdc5ee00d746b963002cd3fb8935e62281cf57b9d259f43f9ccbe70','crew.csv',NULL);
INSERT INTO "file" VALUES('c7dfd16531316c1e6a5454fcb87d4612b177edb1593c05fcb09c605e8e9c04e9','fleet.csv',X'41697263726166742C4D616E7566616374757265722C4D6F64656C2C53657269616C206E756D6265722C526567697374726174696F6E206E756D6265720A542D312C54657374776F726B732C4F6E652C5A5A395A303030303030312C464130305445535430310A542D322C54657374776F726B732C4F6E652C5A5A395A303030303030322C464130305445535430320A');
INSERT INTO "file" VALUES('fdf14719a9f070e25fe49df06ba5402f695ca52ebc3dd227b8f2b0407c89ef79','crew2.csv',X'4E616D652C526F6C652C4365727469666963617465206E756D6265722C426F726E2C496E697469616C20746573740A4A6F20546573742C70696C6F742C303030303031322C313939302D30312D30322C323032342D30312D30320A416C20546573742C70696C6F742C303030303031342C313939312D30322D30332C323032342D30312D30330A');
INSERT INTO "file" VALUES('dd7b89993bde2e6c52ea00d533d1f09ac602d218251b7405d291fddc0b60cddf','mark.png',X'89504E470D0A1A0A0000000D494844520000000200000002080000000057DD52F80000000B49444154789C636000010000060001FE8C67C80000000049454E44AE426082');
CREATE TABLE head_bucket (
  place INTEGER PRIMARY KEY,             -- the first 12 bits of the paths
  subjects INTEGER NOT NULL,
  hash BLOB NOT NULL
) STRICT;
INSERT INTO "head_bucket" VALUES(622,1,X'164C0489D32913E1B4AC375C9BAE05766BB9FD582C0AB14963DA72A219626E7C');
INSERT INTO "head_bucket" VALUES(1384,1,X'F5CC8886FF338293612113303E90AFA4D2D6D58D7AF40EB8CA1EFE586DAC1083');
INSERT INTO "head_bucket" VALUES(1567,1,X'3901AF5D6C33B08FDA318B4F4B702166E84D61E615DF61EB83CA2C5293CBC491');
INSERT INTO "head_bucket" VALUES(3434,1,X'3DA35D1755C70F39CA552DE02509D5E7AFDBD0EB036D32EFE18371DCFC9FA745');
INSERT INTO "head_bucket" VALUES(3473,1,X'4E7D2BE6FF7A842B914DAD39BEE2EDDAAFED7DF46A2FA3A1CEFD3678BC16396D');
INSERT INTO "head_bucket" VALUES(3583,1,X'C736E3D2AE9ACEFBCEB8271EDAB2BA76AC6C9D8785D33DA379DA7AA7AE82767A');
INSERT INTO "head_bucket" VALUES(3682,1,X'81908FAB3EAAA1E0903E480A9B594268FE7024CD938EED5E64CC12733898FFBE');
CREATE TABLE held (
  subject INTEGER NOT NULL,
  key INTEGER NOT NULL,
  known_from INTEGER NOT NULL,           -- the entry that made it known
  valid_from INTEGER NOT NULL,           -- a day, counted from 0001-01-01 = 1
  known_until INTEGER NOT NULL,          -- the entry that ended its being known
  valid_until INTEGER NOT NULL,
  kind INTEGER NOT NULL,
  value TEXT NOT NULL,
  seqs TEXT NOT NULL,
  PRIMARY KEY (subject, key, known_from, valid_from)
) STRICT, WITHOUT ROWID;
INSERT INTO "held" VALUES(1,2,1,1,4611686018427387904,10000000,1,'pilot','1');
INSERT INTO "held" VALUES(1,3,1,1,4611686018427387904,10000000,3,'true','1');
INSERT INTO "held" VALUES(1,4,2,1,10,10000000,4,'','2');
INSERT INTO "held" VALUES(1,4,10,1,4611686018427387904,10000000,4,'','10');
INSERT INTO "held" VALUES(1,5,2,1,10,10000000,4,'','2');
INSERT INTO "held" VALUES(1,5,10,1,4611686018427387904,10000000,4,'','10');
INSERT INTO "held" VALUES(6,7,3,1,4611686018427387904,10000000,1,'Jo Test','3');
INSERT INTO "held" VALUES(6,8,3,1,4611686018427387904,10000000,1,'initial test','3');
INSERT INTO "held" VALUES(6,9,3,1,4611686018427387904,10000000,1,'2024-01-02','3');
INSERT INTO "held" VALUES(10,2,4,1,11,10000000,1,'pilot','4');
INSERT INTO "held" VALUES(10,2,11,1,4611686018427387904,739951,1,'pilot','4');
INSERT INTO "held" VALUES(10,2,11,739951,4611686018427387904,10000000,1,'lead','11');
INSERT INTO "held" VALUES(10,3,4,1,4611686018427387904,10000000,3,'true','4');
INSERT INTO "held" VALUES(10,4,5,1,9,10000000,1,'0000013','5');
INSERT INTO "held" VALUES(10,4,9,1,4611686018427387904,10000000,1,'0000014','9');
INSERT INTO "held" VALUES(10,5,5,1,4611686018427387904,10000000,1,'1991-02-03','5');
INSERT INTO "held" VALUES(11,7,6,1,4611686018427387904,10000000,1,'Al Test','6');
INSERT INTO "held" VALUES(11,8,6,1,4611686018427387904,10000000,1,'initial test','6');
INSERT INTO "held" VALUES(11,9,6,1,4611686018427387904,10000000,1,'2024-01-03','6');
INSERT INTO "held" VALUES(12,13,7,1,4611686018427387904,10000000,1,'Testworks','7');
INSERT INTO "held" VALUES(12,14,7,1,4611686018427387904,10000000,1,'One','7');
INSERT INTO "held" VALUES(12,15,7,1,4611686018427387904,10000000,1,'ZZ9Z0000001','7');
INSERT INTO "held" VALUES(12,16,7,1,4611686018427387904,10000000,3,'true','7');
INSERT INTO "held" VALUES(12,17,7,1,4611686018427387904,10000000,1,'FA00TEST01','7');
INSERT INTO "held" VALUES(18,13,8,1,4611686018427387904,10000000,1,'Testworks','8');
INSERT INTO "held" VALUES(18,14,8,1,4611686018427387904,10000000,1,'One','8');
INSERT INTO "held" VALUES(18,15,8,1,4611686018427387904,10000000,1,'ZZ9Z0000002','8');
INSERT INTO "held" VALUES(18,16,8,1,4611686018427387904,10000000,3,'true','8');
INSERT INTO "held" VALUES(18,17,8,1,4611686018427387904,10000000,1,'FA00TEST02','8');
INSERT INTO "held" VALUES(19,20,12,1,4611686018427387904,10000000,1,'aircraft/T-1','12');
INSERT INTO "held" VALUES(19,21,12,1,4611686018427387904,10000000,1,'mark','12');
INSERT INTO "held" VALUES(19,22,12,1,4611686018427387904,10000000,1,'PNG picture','12');
INSERT INTO "held" VALUES(19,23,12,1,4611686018427387904,10000000,1,'dd7b89993bde2e6c52ea00d533d1f09ac602d218251b7405d291fddc0b60cddf','12');
INSERT INTO "held" VALUES(19,24,12,1,4611686018427387904,10000000,1,'mark.png','12');
CREATE TABLE node (
  level INTEGER NOT NULL,                -- a full subtree over 2^level leaves
  place INTEGER NOT NULL,                -- 0 is the first of its level
  hash BLOB NOT NULL,
  PRIMARY KEY (level, place)
) STRICT, WITHOUT ROWID;
INSERT INTO "node" VALUES(1,0,X'7A140F6E5B1B2F0BB915F83289CF448F14C3C613FA5522BE11F590D63790571E');
INSERT INTO "node" VALUES(1,1,X'7E28FCC10406A919B8E69B2C114347CB65A6D5B06FED94D421FB293E8F3301CA');
INSERT INTO "node" VALUES(1,2,X'798269FF61147F1149511BF5177C7B7513844A45A4DC48B5C17896DE1A623CE7');
INSERT INTO "node" VALUES(1,3,X'80439CDA7B46C8E64FA6F0D8530E3D032F13446CDC8DD46D1E376AC3488F8601');
INSERT INTO "node" VALUES(1,4,X'818951A3B232DF11E684C6A80A1C654A0099C9BA63760C0DEE6B5316228D644B');
INSERT INTO "node" VALUES(1,5,X'AE5C8A7962498CCF4777CAA9E2A090DEED655F56AD12D2B338043499E910F25E');
INSERT INTO "node" VALUES(2,0,X'C9412FB224F1B419377584DBA4EE8BA33DD3905C9E773E230AFEDB81B15A2CDA');
INSERT INTO "node" VALUES(2,1,X'DF88229E2A44755E9E203C2D3F6A722EB3AA7EFFC2B98B3CFA5126A2DAE83259');
INSERT INTO "node" VALUES(2,2,X'7431DA5B927F0D7CC8B5A45300E81296BFCAD243446F00771E0D41C872A47E27');
INSERT INTO "node" VALUES(3,0,X'0703179433E83F4FEC7A1E808F9E45C800BE59E56655CFFA474D874060A80A38');
CREATE TABLE said (
  seq INTEGER NOT NULL,
  place INTEGER NOT NULL,
  subject INTEGER NOT NULL,
  key INTEGER NOT NULL,
  kind INTEGER NOT NULL,
  value TEXT NOT NULL,
  valid_from TEXT NOT NULL,
  valid_until TEXT NOT NULL,
  PRIMARY KEY (seq, place)
) STRICT, WITHOUT ROWID;
INSERT INTO "said" VALUES(1,0,1,2,1,'pilot','','');
INSERT INTO "said" VALUES(1,1,1,3,3,'true','','');
INSERT INTO "said" VALUES(2,0,1,4,4,'','','');
INSERT INTO "said" VALUES(2,1,1,5,4,'','','');
INSERT INTO "said" VALUES(3,0,6,7,1,'Jo Test','','');
INSERT INTO "said" VALUES(3,1,6,8,1,'initial test','','');
INSERT INTO "said" VALUES(3,2,6,9,1,'2024-01-02','','');
INSERT INTO "said" VALUES(4,0,10,2,1,'pilot','','');
INSERT INTO "said" VALUES(4,1,10,3,3,'true','','');
INSERT INTO "said" VALUES(5,0,10,4,1,'0000013','','');
INSERT INTO "said" VALUES(5,1,10,5,1,'1991-02-03','','');
INSERT INTO "said" VALUES(6,0,11,7,1,'Al Test','','');
INSERT INTO "said" VALUES(6,1,11,8,1,'initial test','','');
INSERT INTO "said" VALUES(6,2,11,9,1,'2024-01-03','','');
INSERT INTO "said" VALUES(7,0,12,13,1,'Testworks','','');
INSERT INTO "said" VALUES(7,1,12,14,1,'One','','');
INSERT INTO "said" VALUES(7,2,12,15,1,'ZZ9Z0000001','','');
INSERT INTO "said" VALUES(7,3,12,16,3,'true','','');
INSERT INTO "said" VALUES(7,4,12,17,1,'FA00TEST01','','');
INSERT INTO "said" VALUES(8,0,18,13,1,'Testworks','','');
INSERT INTO "said" VALUES(8,1,18,14,1,'One','','');
INSERT INTO "said" VALUES(8,2,18,15,1,'ZZ9Z0000002','','');
INSERT INTO "said" VALUES(8,3,18,16,3,'true','','');
INSERT INTO "said" VALUES(8,4,18,17,1,'FA00TEST02','','');
INSERT INTO "said" VALUES(9,0,10,4,1,'0000014','','');
INSERT INTO "said" VALUES(10,0,1,4,4,'','','');
INSERT INTO "said" VALUES(10,1,1,5,4,'','','');
INSERT INTO "said" VALUES(11,0,10,2,1,'lead','2026-12-01','');
INSERT INTO "said" VALUES(12,0,19,20,1,'aircraft/T-1','','');
INSERT INTO "said" VALUES(12,1,19,21,1,'mark','','');
INSERT INTO "said" VALUES(12,2,19,22,1,'PNG picture','','');
INSERT INTO "said" VALUES(12,3,19,23,1,'dd7b89993bde2e6c52ea00d533d1f09ac602d218251b7405d291fddc0b60cddf','','');
INSERT INTO "said" VALUES(12,4,19,24,1,'mark.png','','');
CREATE TABLE subject_head (
  path BLOB PRIMARY KEY,                 -- the hash of the subject's name
  entries INTEGER NOT NULL,              -- how many mention it
  head BLOB NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO "subject_head" VALUES(X'26E6546BBB9942FCA23E8CE8122D507E1D027DE1A195547B326DA7537378C0AF',3,X'FD268C807BAA2B3E33E5BBA1BAFBA267B0C43AFBA06C43F7C48AE42B1C789BB6');
INSERT INTO "subject_head" VALUES(X'568EE8A061346A31E1A7A432F30A6960EA1CCECF017A80C414F93CEFC65C3CC1',1,X'F7E4A425B70F9852C9D3DE67FBB35A20EEDD68095860D6426D50C8D41663404A');
INSERT INTO "subject_head" VALUES(X'61F1DB6C80AB3265354FD475C9D60A8C74D4B6B34738CEB8CC146ACFDD9F0F87',4,X'2C4027AE6E923E4AF30A05E6A069AF7655D75695475FB4C503ED279567C4F66D');
INSERT INTO "subject_head" VALUES(X'D6A5E7A5F70E0FE5E08D85E0231703C5B2C86DA7D703CB940003B753E1012841',1,X'3099C00EFECFDE5F826494A1B2C8588163F3280F6022464B625E4EE9462180DC');
INSERT INTO "subject_head" VALUES(X'D91A68BD4FEE015320C6AAD8CD0C9FA52214C4F25156932C7CFA934812CAAF0E',1,X'B32A0E3694496DA4588EBE8A5A870FDDCE8E41CA332760960DE8C8F718A204B9');
INSERT INTO "subject_head" VALUES(X'DFF3D02E4E56BA507A9D63209B29F505352F191647E7347C33F26D7D5CB9FEA6',1,X'18248E01A9DEE665EC453ECC32AB218631C53F21B59EFE7BF86B13AC7EB4D7B9');
INSERT INTO "subject_head" VALUES(X'E62CEE79B66BFB6652F4BF06D77E54EDFA2DFEC46F78D3D10018670EFDADFC3E',1,X'EA372E2E965F93EDB3339FC1B8546376AFF9967D513918B9A89E215C88A26F93');
CREATE TABLE word (id INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE) STRICT;
INSERT INTO "word" VALUES(1,'person/Jo Test');
INSERT INTO "word" VALUES(2,'role');
INSERT INTO "word" VALUES(3,'has_certificate');
INSERT INTO "word" VALUES(4,'certificate_number');
INSERT INTO "word" VALUES(5,'born_on');
INSERT INTO "word" VALUES(6,'training/Jo Test, initial test, 2024-01-02');
INSERT INTO "word" VALUES(7,'event_of');
INSERT INTO "word" VALUES(8,'event_kind');
INSERT INTO "word" VALUES(9,'completed_on');
INSERT INTO "word" VALUES(10,'person/Al Test');
INSERT INTO "word" VALUES(11,'training/Al Test, initial test, 2024-01-03');
INSERT INTO "word" VALUES(12,'aircraft/T-1');
INSERT INTO "word" VALUES(13,'maker');
INSERT INTO "word" VALUES(14,'model');
INSERT INTO "word" VALUES(15,'remote_id_serial');
INSERT INTO "word" VALUES(16,'is_registered');
INSERT INTO "word" VALUES(17,'registration');
INSERT INTO "word" VALUES(18,'aircraft/T-2');
INSERT INTO "word" VALUES(19,'document/dd7b89993bde2e6c aircraft/T-1');
INSERT INTO "word" VALUES(20,'document_of');
INSERT INTO "word" VALUES(21,'document_shows');
INSERT INTO "word" VALUES(22,'document_type');
INSERT INTO "word" VALUES(23,'document_sha256');
INSERT INTO "word" VALUES(24,'document_name');
CREATE TRIGGER entry_is_added_at_the_end BEFORE INSERT ON entry
WHEN NEW.seq IS NOT coalesce((SELECT max(seq) FROM entry), 0) + 1
  OR NEW.recorded_at <= coalesce((SELECT recorded_at FROM entry ORDER BY seq DESC LIMIT 1), NEW.recorded_at - 1)
BEGIN SELECT raise(ABORT, 'entries are added at the end, later than the last'); END;
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
WHEN NEW.line IS NOT NULL OR NEW.seq IS NOT OLD.seq OR NEW.recorded_at IS NOT OLD.recorded_at OR NEW.leaf IS NOT OLD.leaf
BEGIN SELECT raise(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT raise(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER file_is_never_changed BEFORE UPDATE ON file
WHEN NEW.bytes IS NOT NULL OR NEW.sha256 IS NOT OLD.sha256 OR NEW.name IS NOT OLD.name
BEGIN SELECT raise(ABORT, 'files are never changed'); END;
CREATE TRIGGER file_is_never_deleted BEFORE DELETE ON file
BEGIN SELECT raise(ABORT, 'files are never deleted'); END;
CREATE TRIGGER checkpoint_is_never_changed BEFORE UPDATE ON checkpoint
BEGIN SELECT raise(ABORT, 'checkpoints are never changed'); END;
CREATE TRIGGER checkpoint_is_never_deleted BEFORE DELETE ON checkpoint
BEGIN SELECT raise(ABORT, 'checkpoints are never deleted'); END;
CREATE INDEX said_of ON said (subject, key);
CREATE INDEX answered_by ON answered (by_seq);
COMMIT;
