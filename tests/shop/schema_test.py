"""The example of docs/shop-file.md holds by docs/shop-file.schema.json, and slips in it do not."""

import copy
import json
import pathlib
import sys
import tomllib

import jsonschema

docs = pathlib.Path(sys.argv[1])
schema = json.loads((docs / "shop-file.schema.json").read_text(encoding="utf-8"))
page = (docs / "shop-file.md").read_text(encoding="utf-8")
example = tomllib.loads(page.split("```toml\n", 1)[1].split("```", 1)[0])

validator = jsonschema.Draft7Validator
validator.check_schema(schema)
check = validator(schema)
problems = [error.message for error in check.iter_errors(example)]
assert not problems, problems
assert not list(check.iter_errors({})), "every key may be left out"


def refused(what, change):
    wrong = copy.deepcopy(example)
    change(wrong)
    assert list(check.iter_errors(wrong)), f"the schema lets through: {what}"


refused("an unknown table", lambda file: file.update(machines=[]))
refused("an unknown key", lambda file: file["tool"][0].update(nose_radus=0.8))
refused("a negative radius", lambda file: file["tool"][0].update(nose_radius=-0.4))
refused("station 0", lambda file: file["tool"][0].update(station=0))
refused("a tool without station", lambda file: file["tool"][0].pop("station"))
refused("text for a speed", lambda file: file["machine"][0].update(max_rpm="fast"))
refused("a speed of 0", lambda file: file["machine"][0].update(max_rpm=0))
refused("a unit that is none", lambda file: file.update(units="cm"))
refused("a kind that is none", lambda file: file["tool"][0].update(kind="thredding"))
refused("a severity that is none", lambda file: file["checks"].update(speed_limit_missing="loud"))
refused("an M code that is none", lambda file: file["machine"][0]["m_codes"].update(Mx="x"))
refused("units where there are no lengths", lambda file: file["format"].update(units="mm"))
print("shop file schema: example holds, 12 slips refused")
