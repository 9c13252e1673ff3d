# The schema is tried by a validator that knows nothing of this project (Debian package python3-jsonschema).
add_test(NAME shop_schema
         COMMAND /usr/bin/python3 ${CMAKE_CURRENT_LIST_DIR}/schema_test.py ${PROJECT_SOURCE_DIR}/docs)
