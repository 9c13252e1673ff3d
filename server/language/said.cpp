#include "language/said.h"

#include "language/languages.h"

#include <atomic>
#include <cctype>
#include <map>
#include <memory>
#include <mutex>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <unordered_map>

namespace turnwright::language {

namespace {

/// A place for a value with its form: "0:.1f". Numbers of places that are left out are counted.
class Places {
public:
    explicit Places(std::string_view text) : text_(text) {
        while (is_right_ && at_ < text_.size()) look();
    }
    bool is_right() const { return is_right_; }
    const std::set<std::string>& found() const { return found_; }

private:
    void look() {
        const char c = text_[at_++];
        if (c != '{' && c != '}') return;
        if (at_ < text_.size() && text_[at_] == c)
            ++at_;
        else if (c == '{')
            found_.insert(place());
        else
            is_right_ = false;
    }
    /// Behind its bracket; in its form another one may stand.
    std::string place() {
        std::string out;
        while (at_ < text_.size() && std::isdigit(static_cast<unsigned char>(text_[at_])))
            out += text_[at_++];
        (out.empty() ? counts_ : numbers_) = true;
        if (out.empty()) out = std::to_string(next_++);
        for (; at_ < text_.size() && text_[at_] != '}'; ++at_) {
            out += text_[at_];
            if (text_[at_] != '{') continue;
            ++at_;
            out += place() + '}';
            --at_;
        }
        is_right_ = is_right_ && at_ < text_.size() && !(counts_ && numbers_);
        ++at_;
        return out;
    }

    std::string_view text_;
    std::size_t at_ = 0, next_ = 0;
    bool is_right_ = true, counts_ = false, numbers_ = false;
    std::set<std::string> found_;
};

struct Catalogue {
    std::string name;
    /// Owns the texts, in a place that stays.
    std::map<std::string, std::string, std::less<>> texts;
    std::unordered_map<std::string_view, std::string_view> by_english;
    std::string page;
};

std::unique_ptr<Catalogue> read(const EmbeddedLanguage& language) {
    auto catalogue = std::make_unique<Catalogue>();
    catalogue->name = language.name;
    std::string text;
    for (const std::string_view piece : language.pieces) text += piece;
    const auto file = nlohmann::json::parse(text, nullptr, false);
    if (!file.is_object()) return catalogue;
    if (const auto said = file.find("texts"); said != file.end() && said->is_object())
        for (const auto& [english, translation] : said->items())
            if (translation.is_string() && why_not(english, translation.get<std::string>()).empty())
                catalogue->texts.emplace(english, translation.get<std::string>());
    for (const auto& [english, translation] : catalogue->texts)
        catalogue->by_english.emplace(english, translation);
    if (const auto page = file.find("page"); page != file.end() && page->is_object())
        catalogue->page = page->dump();
    return catalogue;
}

/// Read when it is first asked for; it stays, for texts of it may be held anywhere. nullptr: there is none.
const Catalogue* catalogue_of(std::string_view name) {
    static std::mutex mutex;
    static std::vector<std::unique_ptr<Catalogue>> all;
    const std::lock_guard lock(mutex);
    for (const auto& catalogue : all)
        if (catalogue->name == name) return catalogue.get();
    for (const EmbeddedLanguage& language : embedded_languages())
        if (language.name == name) return all.emplace_back(read(language)).get();
    return nullptr;
}

std::atomic<const Catalogue*> in_use = nullptr; ///< nullptr: English

} // namespace

bool choose(std::string_view name) {
    std::string two;
    for (const char c : name.substr(0, name.find_first_of("-_.@")))
        two += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    const Catalogue* catalogue = two == "en" ? nullptr : catalogue_of(two);
    in_use = catalogue;
    return catalogue || two == "en";
}

std::string_view chosen() {
    const Catalogue* catalogue = in_use;
    return catalogue ? std::string_view(catalogue->name) : "en";
}

std::vector<std::string_view> known() {
    std::vector<std::string_view> names{"en"};
    for (const EmbeddedLanguage& language : embedded_languages()) names.push_back(language.name);
    return names;
}

std::string_view look_up(std::string_view english) {
    const Catalogue* catalogue = in_use.load(std::memory_order_acquire);
    if (!catalogue) return english;
    const auto found = catalogue->by_english.find(english);
    return found == catalogue->by_english.end() ? english : found->second;
}

std::vector<std::string_view> each_way(std::string_view english) {
    std::vector<std::string_view> ways{english};
    for (const EmbeddedLanguage& language : embedded_languages()) {
        const Catalogue* catalogue = catalogue_of(language.name);
        if (const auto found = catalogue->by_english.find(english); found != catalogue->by_english.end())
            ways.push_back(found->second);
    }
    return ways;
}

const std::string& page_texts() {
    static const std::string none;
    const Catalogue* catalogue = in_use;
    return catalogue ? catalogue->page : none;
}

std::string why_not(std::string_view english, std::string_view translation) {
    const Places wanted(english), given(translation);
    // A text that is said without values has no places; its brackets are brackets.
    if (!wanted.is_right()) return {};
    if (!given.is_right()) return "its brackets do not fit";
    if (wanted.found() == given.found()) return {};
    for (const std::string& place : given.found())
        if (!wanted.found().count(place)) return "the English has no {" + place + "}";
    return "a place of the English is missing";
}

} // namespace turnwright::language
