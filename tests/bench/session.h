// What an editor says to a server, each with the time until the answer was read.
#pragma once

#include "bench/process.h"
#include "text/text.h"

#include <nlohmann/json.hpp>

#include <stdexcept>

namespace bench {

using nlohmann::json;
using turnwright::text::Position;
using turnwright::text::Range;

/// The server did not answer in time, or answered with an error.
struct NoAnswer : std::runtime_error {
    using std::runtime_error::runtime_error;
};

struct Edit {
    Range range;
    std::string text;
};

enum class Diagnostics : std::uint8_t { push, pull };

class Session {
public:
    Session(const std::vector<std::string>& command, Diagnostics diagnostics, std::string language,
            std::string uri);

    double start_ms() const { return start_ms_; } ///< From spawn to the answer to initialize.
    const json& capabilities() const { return capabilities_; }
    Memory memory() const { return process_.memory(); }
    /// Warnings in the last answer of either kind.
    std::size_t warning_count() const { return warning_count_; }

    /// Each returns milliseconds. Push: until the warnings of this version; pull: until the answer.
    double open(const std::string& text);
    /// Behind open: from its start until the last warnings came that the opening alone brings.
    double opened_whole();
    double key(const Edit& edit) { return keys({edit}); }
    /// Several keys sent without waiting, each as its own change; until the warnings of the last.
    double keys(const std::vector<Edit>& edits);
    double request(const std::string& method, json parameters);
    /// A key and a request right behind it; until the answer.
    double key_then(const Edit& edit, const std::string& method, json parameters);
    json document() const { return {{"uri", uri_}}; }

    std::chrono::seconds patience{60};

private:
    json wait_answer(int id, Clock::time_point& at);
    json settle(int version, Clock::time_point& at);
    json receive(Clock::time_point until, Clock::time_point& at);
    std::string change_text(const Edit& edit);
    std::string request_text(int id, const std::string& method, json parameters) const;
    void notify(const std::string& method, json parameters);

    Clock::time_point born_;
    Clock::time_point opened_;
    Process process_;
    Diagnostics diagnostics_;
    std::string language_;
    std::string uri_;
    json capabilities_;
    double start_ms_ = 0;
    int next_id_ = 0;
    int version_ = 0;
    std::size_t warning_count_ = 0;
};

} // namespace bench
