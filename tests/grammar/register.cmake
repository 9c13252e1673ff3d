# The grammar's own tests need its tool. Where that cannot be had they are skipped and say so; CI fails instead.
add_test(NAME grammar_corpus COMMAND sh ${PROJECT_SOURCE_DIR}/grammar/regenerate.sh --test)
add_test(NAME grammar_matches_source COMMAND sh ${PROJECT_SOURCE_DIR}/grammar/regenerate.sh --check)
set_tests_properties(grammar_corpus grammar_matches_source PROPERTIES SKIP_RETURN_CODE 77
    RESOURCE_LOCK grammar_tool TIMEOUT 300)
